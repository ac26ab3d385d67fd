// The page: header, message, and two halves, or the doors.
import {openFiles} from '../actions';
import * as state from '../state';
import {texts} from '../texts';
import {Answer} from './Answer';
import {Doors} from './Doors';
import {Header} from './Header';
import {Questions} from './Questions';
import {Sheet} from './Sheet';
import {Views} from './Views';

export function App() {
  const open = state.design.value !== null, door = open ? state.door.value : state.door.value === 'none' ? 'doors' : state.door.value;
  const drop = (event: DragEvent) => {
    event.preventDefault();
    if (event.dataTransfer) void openFiles(event.dataTransfer.files);
  };
  return <div class="page" onDragOver={e => e.preventDefault()} onDrop={drop} data-phase={state.phase.value} data-open={state.design.value?.path ?? ''} data-running={String(state.running.value)}>
    {open && <a class="skip" href="#answer-title">{texts.skip}</a>}
    <Header />
    <p id="message" role="alert">{state.message.value}</p>
    {state.phase.value === 'ready' && door === 'doors' && <Doors />}
    {state.phase.value === 'ready' && door === 'questions' && <Questions />}
    {open && <main class="halves" hidden={door !== 'none'}>
      <Answer />
      <Views />
      <Sheet />
    </main>}
  </div>;
}
