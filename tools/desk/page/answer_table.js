// A table that scrolls by itself where it is wider than the page: heads, then rows whose first cell names them.
import {element} from './dom.js';

export function answerTable(name, heads, rows) {
  return element('div', {className: 'scroll', tabIndex: 0, role: 'region', 'aria-label': name},
    element('table', {},
      element('thead', {}, element('tr', {}, ...heads.map((t, i) => element('th', {scope: 'col', className: i ? 'number' : ''}, t)))),
      element('tbody', {}, ...rows.map(row => element('tr', {}, ...row.map((t, i) =>
        element(i ? 'td' : 'th', i ? {className: 'number'} : {scope: 'row'}, t)))))));
}
