// The site sheet: eleven lines in the order of a visit.
import {stations} from '../stations';
import {texts} from '../texts';
import {StationLine} from './StationLine';

export function Sheet() {
  return <section id="sheet" aria-labelledby="sheet-title">
    <h2 id="sheet-title">{texts.sheet}</h2>
    <p class="note">{texts.sheet_note}</p>
    {stations.map((_, number) => <StationLine key={number} number={number} />)}
  </section>;
}
