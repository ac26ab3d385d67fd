// The page: header, message, and two halves, or the doors.
import {useEffect, useRef} from 'preact/hooks';
import {openFiles} from '../actions';
import * as state from '../state';
import {texts} from '../texts';
import {Answer} from './Answer';
import {Doors} from './Doors';
import {Footer} from './Footer';
import {Header} from './Header';
import {Questions} from './Questions';
import {Sheet} from './Sheet';
import {Views} from './Views';

export function App({version}: {version: string}) {
  const open = state.design.value !== null, door = open ? state.door.value : state.door.value === 'none' ? 'doors' : state.door.value;
  const drop = (event: DragEvent) => {
    event.preventDefault();
    if (event.dataTransfer) void openFiles(event.dataTransfer.files);
  };
  // A door that was gone through is no longer there; the answer comes next.
  const behind = useRef(door);
  useEffect(() => {
    if (behind.current !== 'none' && door === 'none' && state.phase.value === 'ready') document.getElementById('answer-title')?.focus();
    behind.current = door;
  }, [door]);
  return <div class="page" onDragOver={e => e.preventDefault()} onDrop={drop} data-phase={state.phase.value} data-open={state.design.value?.path ?? ''} data-running={String(state.running.value)}>
    {open && <><a class="skip" href="#answer-title">{texts.skip}</a><a class="skip" href="#sheet-title">{texts.skip_to_sheet}</a></>}
    <Header />
    <p id="message" role="alert">{state.message.value}</p>
    {state.phase.value === 'ready' && door === 'doors' && <Doors />}
    {state.phase.value === 'ready' && door === 'questions' && <Questions />}
    {open && <main class="halves" hidden={door !== 'none'}>
      <Answer />
      <Views />
      <Sheet />
    </main>}
    <Footer version={version} />
  </div>;
}
