// A mark for each year, best first; what is short is told by the shape.
import {texts} from '../texts';

const marks: {sign: string; most: number}[] = [{sign: '●', most: 0}, {sign: '◐', most: 24}, {sign: '○', most: 100}, {sign: '✕', most: Infinity}];
const kindOf = (hours: number) => marks.findIndex(m => hours <= m.most);

export function Dots({hours, winters}: {hours: number[]; winters: boolean}) {
  const counts = marks.map((_, kind) => hours.filter(h => kindOf(h) === kind).length);
  const words = marks.map((m, kind) => ({...m, words: `${counts[kind]} ${texts.dots[kind]}`})).filter((_, kind) => counts[kind]! > 0);
  return <figure class="dots">
    <p class="marks" role="img" aria-label={`${texts.one_mark(winters)} ${words.map(w => w.words).join(', ')}`}>
      {marks.map((m, kind) => <span class={`dot-${kind}`}>{m.sign.repeat(counts[kind]!)}</span>)}
    </p>
    <figcaption class="note">{texts.one_mark(winters)} {words.map(w => `${w.sign} ${w.words}`).join(', ')}</figcaption>
  </figure>;
}
