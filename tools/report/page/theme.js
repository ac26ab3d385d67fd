// Colors and fonts come from the style sheet of the page, so that they are defined only once.
const style = getComputedStyle(document.documentElement);
const color = name => style.getPropertyValue('--' + name).trim();

export const colors = Object.fromEntries(
    ['paper', 'wash', 'hair', 'ink', 'soft-ink', 'line', 'sun', 'battery', 'grid', 'generator', 'nothing', 'water',
     'loads', 'unused'].map(name => [name, color(name)]));
export const levels = [1, 2, 3, 4, 5, 6].map(i => color('level-' + i));
export const heat = [1, 2, 3, 4, 5, 6].map(i => color('heat-' + i));
export const sources = {
  s: {name: 'PV', color: colors.sun},
  b: {name: 'battery', color: colors.battery},
  r: {name: 'grid', color: colors.grid},
  g: {name: 'generator', color: colors.generator},
  x: {name: 'nothing', color: colors.nothing},
};
export const font = getComputedStyle(document.body).fontFamily;

export const narrow = width => width < 520;
export const escape = text =>
    String(text).replace(/[&<>"']/g, c => ({'&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', '\'': '&#39;'})[c]);
// Names of options may be of any length.
export const shorten = (text, most) => {
  const letters = Array.from(text);
  return letters.length > most ? letters.slice(0, most - 1).join('') + '…' : text;
};

// "12,345"
export const count = value => value.toFixed(0).replace(/\B(?=(\d{3})+$)/g, ',');

export const axis = extra => ({
  axisLine: {lineStyle: {color: colors.line}},
  axisTick: {lineStyle: {color: colors.line}},
  axisLabel: {color: colors['soft-ink'], fontSize: 12, hideOverlap: true},
  nameTextStyle: {color: colors['soft-ink'], fontSize: 12},
  splitLine: {lineStyle: {color: colors.hair, width: 1}},
  ...extra,
});
export const valueAxis = (name, extra) =>
    axis({type: 'value', name, nameLocation: 'end', nameGap: 10, axisLine: {show: false}, axisTick: {show: false},
          nameTextStyle: {color: colors['soft-ink'], fontSize: 12, align: 'left', padding: [0, 0, 0, -34]},
          ...extra, axisLabel: {color: colors['soft-ink'], fontSize: 12, hideOverlap: true, formatter: count_or_part, ...(extra && extra.axisLabel)}});
const count_or_part = value => Number.isInteger(value) ? count(value) : String(value);
export const underAxis = (name, extra) => axis({name, nameLocation: 'middle', nameGap: 30, ...extra});

export const tooltip = extra => ({
  trigger: 'axis',
  confine: true,
  transitionDuration: 0,
  className: 'tip',
  backgroundColor: colors.paper,
  borderColor: colors.ink,
  borderWidth: 1,
  padding: [6, 10],
  textStyle: {color: colors.ink, fontFamily: font, fontSize: 13},
  axisPointer: {lineStyle: {color: colors.ink, type: 'dashed'}, animation: false},
  ...extra,
});
export const base = () => ({animation: false, textStyle: {fontFamily: font, color: colors.ink}, backgroundColor: colors.paper});

// Notes at the SOC where something happens: "minimum SOC 25 %" at the left end of its line, "generator called
// at 30 %" at the right, so that they keep clear of each other however close the lines are.
export function socLines(min_soc, transfer, small) {
  const line = (y, label, position) => ({
    yAxis: y,
    label: {formatter: label, position, color: colors.ink, fontSize: small ? 11 : 12, textBorderColor: colors.paper, textBorderWidth: 3},
    lineStyle: {color: colors.ink, type: 'dashed', width: 1},
  });
  return [line(min_soc, `minimum SOC ${min_soc} %`, 'insideStartTop')]
      .concat(transfer === null ? [] : [line(transfer, small ? `generator at ${transfer} %` : `generator called at ${transfer} %`, 'insideEndTop')]);
}

// Swatches above a chart; kinds: fill, line, dash, cross.
export function legend(id, items) {
  const draw = {
    fill: c => `<rect x="1" y="2" width="30" height="14" fill="${c}" stroke="${colors.line}"/>`,
    hatch: c => `<rect x="1" y="2" width="30" height="14" fill="${colors.paper}" stroke="${c}"/>` +
        [6, 14, 22, 30].map(x => `<path d="M${x - 5} 16L${x + 1} 2" stroke="${c}" stroke-width="2"/>`).join(''),
    line: c => `<path d="M0 9H32" stroke="${c}" stroke-width="4"/>`,
    dash: c => `<path d="M0 9H32" stroke="${c}" stroke-width="3" stroke-dasharray="7 5"/>`,
    cross: c => `<path d="M11 3L23 15M23 3L11 15" stroke="${c}" stroke-width="3"/>`,
  };
  document.getElementById('legend-' + id).innerHTML =
      items.map(([kind, c, text]) => `<li><svg viewBox="0 0 32 18" aria-hidden="true">${draw[kind](c)}</svg>${escape(text)}</li>`)
          .join('');
}

// Runs of equal values: [[first, behind last, value], ..].
export function runs(values, from = 0, to = values.length) {
  const list = [];
  for (let i = from; i < to;) {
    let end = i + 1;
    while (end < to && values[end] === values[i]) ++end;
    list.push([i, end, values[i]]);
    i = end;
  }
  return list;
}

export const rect = (x, y, width, height, style, clip) => {
  const left = Math.max(x, clip.x), right = Math.min(x + width, clip.x + clip.width);
  if (right <= left) return null;
  return {type: 'rect', shape: {x: left, y, width: right - left, height}, style};
};
