// The frame of a view that asks the engine: runs again after a change, shows progress, can be cancelled.
import type {ComponentChildren} from 'preact';
import {useEffect, useRef, useState} from 'preact/hooks';
import type {Port} from '../port';
import {version} from '../state';
import {study, type Study} from '../studies';
import {texts} from '../texts';
import type {Answer} from '../types';

export type Progress = (done: number, all: number) => void;

export interface StudyViewProps<T> {
  title: string;
  work: (port: Port, progress: Progress) => Promise<Answer<T>>;
  show: (answer: T) => ComponentChildren;
  /** Only when this changes, or the button is pressed, and not after every change of the design. */
  byHand?: boolean;
  children?: ComponentChildren;
}

export function StudyView<T>({title, work, show, byHand, children}: StudyViewProps<T>) {
  const [answer, setAnswer] = useState<T | null>(null);
  const [words, setWords] = useState('');
  const [busy, setBusy] = useState(false);
  const running = useRef<Study<T> | null>(null);
  const run = () => {
    running.current?.cancel();
    setBusy(true);
    setWords(texts.working);
    const mine = study<T>(port => work(port, (done, all) => { if (running.current === mine) setWords(texts.progress(done, all)); }));
    running.current = mine;
    void mine.result.then(found => {
      if (running.current !== mine) return;
      running.current = null;
      setBusy(false);
      setWords(found === null ? '' : found.error ?? '');
      if (found?.answer !== undefined) setAnswer(found.answer);
    });
  };
  const cancel = () => {
    running.current?.cancel();
    running.current = null;
    setBusy(false);
    setWords(texts.cancelled);
  };
  useEffect(() => {
    if (byHand) return undefined;
    // The answer comes first; a study begins once nothing was changed for a moment.
    const timer = setTimeout(run, answer === null ? 0 : 600);
    return () => clearTimeout(timer);
  }, [version.value]);
  useEffect(() => () => running.current?.cancel(), []);
  return <>
    <h3>{title}</h3>
    {children}
    <p class="tools">
      {byHand && <button type="button" id="run-study" onClick={run}>{texts.run}</button>}
      {busy && <button type="button" onClick={cancel}>{texts.cancel}</button>}
      <span role="status">{words}</span>
    </p>
    {answer !== null && <div class={busy ? 'stale' : ''}>{show(answer)}</div>}
  </>;
}
