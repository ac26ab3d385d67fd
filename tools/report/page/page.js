import {BarChart, CustomChart, LineChart} from 'echarts/charts';
import {AriaComponent, DataZoomComponent, GridComponent, MarkAreaComponent, MarkLineComponent, MarkPointComponent, TooltipComponent} from 'echarts/components';
import * as echarts from 'echarts/core';
import {SVGRenderer} from 'echarts/renderers';

import {map, survival, tornado} from './outlook.js';
import {cloudy_period} from './cloudy_period.js';
import {duration, energy, water, year} from './year.js';

echarts.use([BarChart, CustomChart, LineChart, AriaComponent, DataZoomComponent, GridComponent, MarkAreaComponent, MarkLineComponent, MarkPointComponent, TooltipComponent, SVGRenderer]);

const began = performance.now();
const data = JSON.parse(document.getElementById('charts').textContent);
const plots = [
  ['cloudy_period', cloudy_period, data.cloudy_period], ['survival', survival, data.survival], ['tornado', tornado, data.tornado], ['map', map, data.map],
  ['year', year, data.year], ['energy', energy, data.months], ['water', water, data.months], ['duration', duration, data.duration],
];
// What A4 and Letter leave between the margins, in CSS pixels; heights so that two or three plots share a sheet.
const print_width = 690;
const print_height = {cloudy_period: 400, survival: 230, tornado: 260, map: 250, year: 400, energy: 215, water: 215, duration: 215};

const drawn = plots.map(([id, make, part]) => {
  const element = document.getElementById('chart-' + id);
  const chart = echarts.init(element, null, {renderer: 'svg', useDirtyRect: false});
  const plot = {id, element, chart, made: null, width: 0, at: -1};
  plot.draw = (width, height, print) => {
    plot.made = make(part, data.volume_unit, {width, height, print});
    chart.setOption(plot.made.option, {notMerge: true});
    plot.width = width;
  };
  plot.draw(element.clientWidth, element.clientHeight, false);
  chart.on('datazoom', () => {
    const {start, end} = chart.getOption().dataZoom[0];
    element.dataset.shows = `${start.toFixed(1)} to ${end.toFixed(1)} %`;
  });
  keyboard(plot);
  return plot;
});

// The left and right arrow keys show one point after the other; a screen reader reads it aloud.
function keyboard(plot) {
  const live = document.getElementById('live-' + plot.id);
  plot.element.addEventListener('keydown', event => {
    const step = {ArrowLeft: -1, ArrowRight: 1, PageUp: -10, PageDown: 10}[event.key];
    if (event.key === 'Escape') return void plot.chart.dispatchAction({type: 'hideTip'});
    if (!step) return;
    event.preventDefault();
    plot.at = Math.max(0, Math.min(plot.made.count - 1, plot.at + step));
    plot.chart.dispatchAction({type: 'showTip', ...plot.made.show(plot.at)});
    live.textContent = plot.made.describe(plot.at).join(', ');
  });
  plot.element.addEventListener('blur', () => plot.chart.dispatchAction({type: 'hideTip'}));
}

// Zooming by buttons, for keyboards and small screens.
function zoom_buttons(plot) {
  const row = document.createElement('div');
  row.className = 'tools';
  const window_of = () => {
    const zoom = plot.chart.getOption().dataZoom[0];
    return [zoom.start, zoom.end];
  };
  const go = (from, to) => plot.chart.dispatchAction({type: 'dataZoom', start: Math.max(0, from), end: Math.min(100, to)});
  const add = (text, act) => {
    const button = document.createElement('button');
    button.type = 'button';
    button.textContent = text;
    button.addEventListener('click', () => act(...window_of()));
    row.append(button);
  };
  add('Zoom in', (a, b) => go(a + (b - a) / 4, b - (b - a) / 4));
  add('Zoom out', (a, b) => go(a - (b - a) / 2, b + (b - a) / 2));
  add('Earlier', (a, b) => { const by = Math.min((b - a) / 2, a); go(a - by, b - by); });
  add('Later', (a, b) => { const by = Math.min((b - a) / 2, 100 - b); go(a + by, b + by); });
  add('Whole run', () => go(0, 100));
  plot.element.before(row);
}
zoom_buttons(drawn[0]);

function fit(plot, width) {
  if (width === plot.width || width === 0) return;
  plot.chart.resize({width: 'auto', height: 'auto'});
  plot.draw(width, plot.element.clientHeight, false);
}
let waiting = 0;
addEventListener('resize', () => {
  cancelAnimationFrame(waiting);
  waiting = requestAnimationFrame(() => drawn.forEach(plot => fit(plot, plot.element.clientWidth)));
});
// On paper every plot is drawn whole, at the width of the paper.
addEventListener('beforeprint', () => drawn.forEach(plot => {
  plot.chart.dispatchAction({type: 'hideTip'});
  plot.chart.resize({width: print_width, height: print_height[plot.id]});
  plot.draw(print_width, print_height[plot.id], true);
  plot.chart.getZr().flush();
}));
addEventListener('afterprint', () => drawn.forEach(plot => {
  plot.width = 0;
  fit(plot, plot.element.clientWidth);
}));

drawn.forEach(plot => plot.chart.getZr().flush());
document.documentElement.dataset.plots = String(drawn.length);
document.documentElement.dataset.drawnMs = (performance.now() - began).toFixed(0);
