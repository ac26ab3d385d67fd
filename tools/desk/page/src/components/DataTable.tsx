// A table that scrolls by itself where it is wider than the page, and can be saved as CSV.
import {csv} from '../format';
import {download} from '../files';
import {texts} from '../texts';

export interface DataTableProps {
  name: string;
  head: string[];
  rows: string[][];
  /** Behind "Table", where a plot shows the same. */
  folded?: boolean;
  file?: string;
  /** Columns that are text, besides the first. */
  text?: number[];
  /** Columns whose cells stay in one line. */
  in_line?: number[];
}

export function DataTable({name, head, rows, folded, file, text = [], in_line = []}: DataTableProps) {
  const align = (i: number) => in_line.includes(i) ? 'in-line' : i === 0 || text.includes(i) ? '' : 'number';
  const table = <>
    <div class="scroll" tabIndex={0} role="region" aria-label={name}>
      <table>
        <thead><tr>{head.map((t, i) => <th scope="col" class={align(i)}>{t}</th>)}</tr></thead>
        <tbody>{rows.map(row => <tr>{row.map((t, i) => i === 0 ? <th scope="row">{t}</th> : <td class={align(i)}>{t}</td>)}</tr>)}</tbody>
      </table>
    </div>
    {file && <p><button type="button" onClick={() => download(`${file}.csv`, csv(head, rows), 'text/csv')}>{texts.save_csv}</button></p>}
  </>;
  return folded ? <details class="folded"><summary>{texts.table}</summary>{table}</details> : table;
}
