// The frame of a view that asks the engine: runs again after a change, shows progress, can be cancelled.
import type {ComponentChildren} from 'preact';
import {useEffect, useRef, useState} from 'preact/hooks';
import {stopped, type Port, type TellShare} from '../port';
import {version} from '../state';
import {study, type Study} from '../studies';
import {texts} from '../texts';
import type {Answer} from '../types';

/** Says how far a study is: in steps, or as a share of the whole. */
export interface Progress {
  steps: (done: number, all: number) => void;
  share: TellShare;
}

export interface StudyViewProps<T> {
  title?: string;
  /** Asks an engine of its own, and can be cancelled. */
  work?: (port: Port, progress: Progress) => Promise<Answer<T>>;
  /** In place of `work`, for what takes a moment: asks the engine of the answer, which has the years of the verdict. */
  ask?: () => Promise<Answer<T>>;
  show: (answer: T) => ComponentChildren;
  /** Only when the button is pressed, and not after every change of the design. */
  byHand?: boolean;
  /** At once and not again. */
  once?: boolean;
  /** What is said while it runs, before there is any progress. */
  waiting?: string;
  children?: ComponentChildren;
}

export function StudyView<T>({title, work, ask, show, byHand, once, waiting = texts.working, children}: StudyViewProps<T>) {
  const [answer, setAnswer] = useState<T | null>(null);
  const [words, setWords] = useState('');
  // What is spoken: that a study which the person began runs and is ready, and what was wrong; no step of its progress.
  const [spoken, setSpoken] = useState('');
  const [busy, setBusy] = useState(false);
  const running = useRef<Study<T> | null>(null);
  const run = (by_person: boolean) => {
    running.current?.cancel();
    setBusy(true);
    setWords(waiting);
    setSpoken(by_person ? waiting : '');
    const say = (text: string) => { if (running.current === mine) setWords(text); };
    const tell: Progress = {steps: (done, all) => say(texts.progress(done, all)), share: share => say(texts.percent(share))};
    const mine: Study<T> = ask ? {result: ask(), cancel() {}} : study<T>(port => work!(port, tell));
    running.current = mine;
    void mine.result.then(found => {
      if (running.current !== mine) return;
      running.current = null;
      setBusy(false);
      const wrong = found === null || found.error === stopped ? '' : found.error ?? '';
      setWords(wrong);
      setSpoken(wrong || (by_person ? texts.ready : ''));
      if (found?.answer !== undefined) setAnswer(found.answer);
    });
  };
  const cancel = () => {
    running.current?.cancel();
    running.current = null;
    setBusy(false);
    setWords(texts.cancelled);
    setSpoken(texts.cancelled);
  };
  useEffect(() => {
    if (byHand) return undefined;
    // The answer comes first; a study begins once nothing was changed for a moment.
    const timer = setTimeout(() => run(answer === null), answer === null ? 0 : 600);
    return () => clearTimeout(timer);
  }, [once ? 0 : version.value]);
  useEffect(() => () => running.current?.cancel(), []);
  return <>
    {title && <h3>{title}</h3>}
    {children}
    <p class="tools">
      {byHand && <button type="button" id="run-study" onClick={() => run(true)}>{texts.run}</button>}
      {busy && work && <button type="button" onClick={cancel}>{texts.cancel}</button>}
      <span class="progress">{words}</span>
      <span class="hidden" role="status">{spoken}</span>
    </p>
    {answer !== null && <div class={busy ? 'stale' : ''}>{show(answer)}</div>}
  </>;
}
