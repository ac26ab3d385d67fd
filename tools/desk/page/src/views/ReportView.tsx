// The page for the customer, made by the report's own code; saved as a file or printed.
import {useRef, useState} from 'preact/hooks';
import {inLong, sendText} from '../actions';
import {download} from '../files';
import {fileName} from '../format';
import * as state from '../state';
import {texts} from '../texts';
import type {Hours} from '../types';
import {monthsOf} from './YearView';

export function ReportView() {
  const [page, setPage] = useState('');
  const [words, setWords] = useState('');
  const frame = useRef<HTMLIFrameElement>(null);
  const name = fileName(state.design.value!.path).replace(/\.toml$/, '');
  const make = async (event: Event) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget as HTMLFormElement), of = (field: string) => String(form.get(field) ?? '');
    setWords('The report is being made. This takes some seconds.');
    const made = await inLong<{page: string}>('report', {firm: of('firm'), customer: of('customer'), valid_until: of('until'),
      date: new Date().toLocaleDateString('sv'), option: state.option.value, units: state.units.value});
    setWords(made.error ?? 'This is the report of the design at this moment. After a change, make it again.');
    if (made.answer) setPage(made.answer.page);
  };
  const send = async () => {
    const year = await inLong<Hours>('hours', {year: 'typical', option: state.option.value});
    const digest = year.answer ? [`Weather: ${state.valueOf('weather.file')}; PV used by month, kWh: ${monthsOf(year.answer).map(m => `${m.name} ${Math.round(m.pv)}`).join(', ')}`] : [];
    download(`${name}-to-send.txt`, sendText(digest), 'text/plain');
  };
  return <>
    <h3>Which page does the customer get?</h3>
    <form class="tools" id="report" onSubmit={e => void make(e)}>
      <label>Your firm <input name="firm" /></label><label>Customer <input name="customer" /></label><label>Valid until <input name="until" type="date" /></label>
      <button>Make the report</button>
    </form>
    <p role="status">{words}</p>
    {page !== '' && <p class="tools"><button type="button" id="save-report" onClick={() => download(`${name}.html`, page, 'text/html')}>Save report</button>
      <button type="button" id="print-report" onClick={() => frame.current?.contentWindow?.postMessage('print', '*')}>Print or save as PDF</button></p>}
    <p class="tools"><button type="button" id="send" onClick={() => void send()}>Save a file to send</button> <span class="note">Plain text: the answer, a digest of the weather, and the design. This page opens it again.</span></p>
    {page !== '' && <iframe ref={frame} title={texts.view.report} srcdoc={page} sandbox="allow-scripts allow-modals" />}
  </>;
}
