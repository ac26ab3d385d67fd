// The page for the customer, made by the report's own code; saved as a file or printed.
import {useEffect, useRef, useState} from 'preact/hooks';
import {inLong, sendText} from '../actions';
import {download} from '../files';
import {fileName} from '../format';
import {putOnPaper} from '../paper';
import * as state from '../state';
import {formValues, keepForm, keptForm} from '../store';
import {texts} from '../texts';
import type {Hours} from '../types';
import {monthsOf} from './YearView';
import {StudyView} from './StudyView';

const words = texts.report;

function Made({page, name}: {page: string; name: string}) {
  const frame = useRef<HTMLIFrameElement>(null);
  useEffect(() => {
    // Also when the browser's own menu prints the page.
    let takeAway = () => {};
    const before = () => { takeAway = frame.current?.contentDocument?.body ? putOnPaper({frame: frame.current.contentDocument}) : () => {}; };
    const after = () => takeAway();
    addEventListener('beforeprint', before);
    addEventListener('afterprint', after);
    return () => {
      removeEventListener('beforeprint', before);
      removeEventListener('afterprint', after);
    };
  }, []);
  return <>
    <p class="tools"><button type="button" id="save-report" onClick={() => download(`${name}.html`, page, 'text/html')}>{words.save}</button>
      <button type="button" id="print-report" onClick={() => print()}>{words.print}</button></p>
    <iframe ref={frame} title={texts.view.report} srcdoc={page} />
  </>;
}

export function ReportView() {
  const [asked, setAsked] = useState<Record<string, string> | null>(null);
  const [round, setRound] = useState(0);
  const [kept] = useState(() => keptForm('report'));
  const name = fileName(state.design.value!.path).replace(/\.toml$/, '');
  const make = (event: Event) => {
    event.preventDefault();
    const {firm = '', customer = '', until = ''} = formValues(event.currentTarget as HTMLFormElement);
    setAsked({firm, customer, valid_until: until, date: new Date().toLocaleDateString('sv'),
      option: state.option.value, units: state.units.value});
    setRound(round + 1);
  };
  const send = async () => {
    const year = await inLong<Hours>('hours', {year: 'typical', option: state.option.value});
    const months = year.answer ? monthsOf(year.answer).map(m => `${m.name} ${Math.round(m.pv)}`).join(', ') : '';
    download(`${name}-to-send.txt`, sendText(months ? [words.digest(state.valueOf('weather.file'), months)] : []), 'text/plain');
  };
  return <>
    <h3>{words.title}</h3>
    <form class="tools" id="report" onSubmit={make} onInput={e => keepForm('report', formValues(e.currentTarget))}>
      <label>{words.firm} <input name="firm" defaultValue={kept.firm} /></label><label>{words.customer} <input name="customer" defaultValue={kept.customer} /></label><label>{words.until} <input name="until" type="date" defaultValue={kept.until} /></label>
      <button>{words.make}</button>
    </form>
    {asked && <StudyView<{page: string}> key={round} once waiting={words.waiting} work={(port, progress) => port.call('report', asked, progress.share)}
      show={({page}) => <><p class="note">{words.of_this_moment}</p><Made page={page} name={name} /></>} />}
    <p class="tools"><button type="button" id="send" onClick={() => void send()}>{words.send}</button> <span class="note">{words.send_help}</span></p>
  </>;
}
