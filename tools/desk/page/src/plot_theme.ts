// Colors and fonts of plots, from the style sheet: the report's palette, in the theme that is shown.
export type ColorName = 'paper' | 'wash' | 'hair' | 'ink' | 'soft-ink' | 'line' | 'sun' | 'battery' | 'grid' | 'generator' | 'nothing' | 'water' | 'loads';

export function palette() {
  const style = getComputedStyle(document.documentElement);
  const color = (name: ColorName | `level-${number}`) => style.getPropertyValue('--' + name).trim();
  return {color, levels: [1, 2, 3, 4, 5, 6].map(i => color(`level-${i}`)), font: getComputedStyle(document.body).fontFamily};
}
export type Palette = ReturnType<typeof palette>;

const text = (p: Palette) => ({color: p.color('soft-ink'), fontSize: 12});
export const base = (p: Palette) => ({animation: false, backgroundColor: 'transparent', textStyle: {fontFamily: p.font, color: p.color('ink')}});
export const axis = (p: Palette, extra: object) => ({
  axisLine: {lineStyle: {color: p.color('line')}}, axisTick: {lineStyle: {color: p.color('line')}}, axisLabel: {...text(p), hideOverlap: true},
  nameTextStyle: text(p), splitLine: {lineStyle: {color: p.color('hair')}}, ...extra});
export const valueAxis = (p: Palette, name: string, extra: object = {}) => axis(p, {
  type: 'value', name, nameLocation: 'end', nameGap: 8, nameTextStyle: {...text(p), align: 'left', padding: [0, 0, 0, -36]}, axisLine: {show: false},
  axisTick: {show: false}, ...extra});
export const underAxis = (p: Palette, name: string, extra: object = {}) => axis(p, {name, nameLocation: 'middle', nameGap: 28, ...extra});
export const tooltip = (p: Palette, formatter: (items: {dataIndex: number}[]) => string) => ({
  trigger: 'axis', confine: true, transitionDuration: 0, backgroundColor: p.color('paper'), borderColor: p.color('ink'), borderWidth: 1, padding: [6, 10],
  textStyle: {color: p.color('ink'), fontFamily: p.font, fontSize: 13}, axisPointer: {lineStyle: {color: p.color('ink'), type: 'dashed'}, animation: false},
  formatter: (items: unknown) => formatter(Array.isArray(items) ? items : [items as {dataIndex: number}])});
/** Lines are told apart by dash and mark, not by color alone. */
export const dashes = ['solid', 'dashed', 'dotted', [8, 3, 2, 3], [2, 2], [12, 4]] as const;
export const symbols = ['circle', 'rect', 'triangle', 'diamond'] as const;
