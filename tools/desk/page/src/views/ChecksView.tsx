// Do the nameplates fit: the answer of `check`, in its groups.
import {checks} from '../state';
import {texts} from '../texts';
import type {Check} from '../types';

const words = texts.checks;
const signs = {PASS: '✓', MARGINAL: '~', FAIL: '✕', UNKNOWN: '?'} as const;

export function ChecksView() {
  const found = checks.value;
  if (!found) return <h3>{words.title}</h3>;
  const groups = [...new Set(found.checks.map(c => c.group))];
  // The remark has a row of its own, which is as wide as the table.
  const row = (c: Check) => <>
    <tr class="check">
      <th scope="row">{c.title}</th>
      <td class={c.verdict}><span aria-hidden="true">{signs[c.verdict]}{'\u00a0'}</span>{c.waived ? words.accepted(c.verdict, c.waived) : c.verdict}</td>
      <td>{c.value_text}</td><td>{c.limit_text}</td>
    </tr>
    <tr><td colSpan={4}>{[c.detail, c.change].filter(t => t).join(' ')} {c.source && <span class="note">{words.source(c.source)}</span>}</td></tr>
  </>;
  return <>
    <h3>{words.title}</h3>
    <div class="scroll" tabIndex={0} role="region" aria-label={texts.view.checks}>
      <table class="checks">
        <thead><tr>{words.head.map(t => <th scope="col">{t}</th>)}</tr></thead>
        {groups.map(group => <tbody><tr><th scope="rowgroup" colSpan={4} class="group">{group}</th></tr>{found.checks.filter(c => c.group === group).map(row)}</tbody>)}
      </table>
    </div>
    {found.notes.map(n => <p class="note">{n}</p>)}
  </>;
}
