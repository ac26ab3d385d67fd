// The year: day by hour, by month, and sorted.
import {axis, base, colors, count, legend, levels, narrow, runs, socLines, sources, tooltip, underAxis, valueAxis} from './theme.js';

const day_ms = 864e5, start = Date.UTC(2001, 0, 1);
const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
const date_of = day => { const d = new Date(start + day % 365 * day_ms); return `${d.getUTCDate()} ${months[d.getUTCMonth()]}`; };
const clock = h => `${String(h).padStart(2, '0')}:00`;

export function year(data, unit, {width, height}) {
  const date = day => date_of(data.first_day + day);
  const small = narrow(width);
  const level_step = v => Math.min(5, Math.floor(v / (100 / 6)));
  const steps = data.soc.map(level_step);
  const cells = values => {
    const list = [];
    for (let day = 0; day < 365; ++day) for (const [a, b, v] of runs(values, 24 * day, 24 * day + 24)) list.push([day, a - 24 * day, b - 24 * day, v]);
    return list;
  };
  const source_cells = cells(data.source), level_cells = cells(steps);
  const short_cells = runs(data.short.map(h => h)).map(([a]) => [Math.floor(data.short[a] / 24), data.short[a] % 24]);
  const draw = fill => (params, api) => {
    const day = api.value(0), a = api.coord([day, api.value(1)]), b = api.coord([day + 1, api.value(2)]);
    return {type: 'rect', shape: {x: a[0], y: a[1], width: b[0] - a[0] + 0.3, height: b[1] - a[1] + 0.3}, style: {fill: fill(api.value(3))}};
  };
  const left = small ? 44 : 56, right = small ? 8 : 16, each = Math.round((height - 26 - 56 - 26) / 2);
  const bands = [100 / 6, 200 / 6, 50, 400 / 6, 500 / 6, 100].map((top, i) => `${Math.round(top - 100 / 6)} to ${Math.round(top)} %`);
  legend('year', Object.keys(sources).filter(s => data.source.includes(s)).map(s => ['fill', sources[s].color, s === 'x' ? 'fed by nothing' : sources[s].name])
      .concat(data.short.length ? [['cross', colors.nothing, 'water short']] : [])
      .concat(levels.map((c, i) => ['fill', c, 'SOC ' + bands[i]])));
  const month_starts = months.map((_, m) => ((Date.UTC(2001, m, 1) - start) / day_ms - data.first_day + 365) % 365);
  const xAxis = i => axis({
    type: 'value', gridIndex: i, min: 0, max: 365, interval: 365, splitLine: {show: false}, axisTick: {show: false},
    axisLabel: {show: false}, axisLine: {lineStyle: {color: colors.line}},
  });
  const yAxis = (i, name) => valueAxis(name, {gridIndex: i, inverse: true, min: 0, max: 24, interval: 6, nameLocation: 'start', axisLabel: {color: colors['soft-ink'], fontSize: 12, formatter: v => clock(v)}, splitLine: {show: false}});
  // Month names under each map, at the middle of their month.
  const labels = i => ({
    type: 'custom', id: 'months-' + i, xAxisIndex: i, yAxisIndex: i, silent: true, clip: false, tooltip: {show: false},
    data: month_starts.map((d, m) => [d + 15, 24, m]),
    renderItem: (params, api) => {
      const [x, y] = api.coord([api.value(0), 24]), m = api.value(2);
      return {type: 'text', x, y: y + 14, style: {text: small ? months[m][0] : months[m], fill: colors['soft-ink'], fontSize: 12, textAlign: 'center', textVerticalAlign: 'middle'}};
    },
  });
  const describe = k => {
    const h = Math.min(8759, k);
    return [`${date(Math.floor(h / 24))}, ${clock(h % 24)}`, `fed by ${sources[data.source[h]].name}`, `battery SOC ${data.soc[h]} %`].concat(data.short.includes(h) ? ['WATER SHORT'] : []);
  };
  return {
    count: 365, jump: 24,
    show: day => ({seriesIndex: 0, dataIndex: source_cells.findIndex(c => c[0] === day && c[1] <= 12 && c[2] > 12)}),
    describe: day => describe(24 * day + 12),
    option: {
      ...base(),
      grid: [{left, right, top: 26, height: each}, {left, right, top: 26 + each + 56, height: each}],
      xAxis: [xAxis(0), xAxis(1)],
      yAxis: [yAxis(0, 'source of power'), yAxis(1, 'battery SOC')],
      tooltip: tooltip({trigger: 'item', formatter: p => {
        const [day, from, to, v] = p.value;
        if (p.seriesId === 'short') return describe(24 * day + from).join('<br>');
        const what = p.seriesId === 'source' ? `fed by ${sources[v].name}` : `battery SOC ${Math.min(...data.soc.slice(24 * day + from, 24 * day + to))} to ${Math.max(...data.soc.slice(24 * day + from, 24 * day + to))} %`;
        return `${date(day)}, ${clock(from)} to ${clock(to)}<br>${what}`;
      }}),
      series: [
        {type: 'custom', id: 'source', data: source_cells, encode: {x: 0, y: 1}, renderItem: draw(s => sources[s].color)},
        {type: 'custom', id: 'level', xAxisIndex: 1, yAxisIndex: 1, data: level_cells, encode: {x: 0, y: 1}, renderItem: draw(v => levels[v])},
        {type: 'custom', id: 'short', data: short_cells, encode: {x: 0, y: 1}, renderItem: (params, api) => {
          const [x, y] = api.coord([api.value(0) + 0.5, api.value(1) + 0.5]), s = small ? 2 : 3;
          return {type: 'group', children: [
            {type: 'line', shape: {x1: x - s, y1: y - s, x2: x + s, y2: y + s}, style: {stroke: colors.paper, lineWidth: 3.5}},
            {type: 'line', shape: {x1: x + s, y1: y - s, x2: x - s, y2: y + s}, style: {stroke: colors.paper, lineWidth: 3.5}},
            {type: 'line', shape: {x1: x - s, y1: y - s, x2: x + s, y2: y + s}, style: {stroke: colors.nothing, lineWidth: 1.75}},
            {type: 'line', shape: {x1: x + s, y1: y - s, x2: x - s, y2: y + s}, style: {stroke: colors.nothing, lineWidth: 1.75}}]};
        }},
        labels(0), labels(1),
      ],
    },
  };
}

const bar = (id, name, stack, data, style) => ({type: 'bar', id, name, stack, data, barMaxWidth: 22, barGap: '15%', itemStyle: style});
const hatched = color => ({color: colors.paper, borderColor: color, borderWidth: 1.5, decal: {symbol: 'rect', color, dashArrayX: [1, 0], dashArrayY: [2, 4], rotation: -Math.PI / 4}});
const month_axis = width => axis({type: 'category', data: narrow(width) ? months.map(m => m[0]) : months, splitLine: {show: false}, axisTick: {show: false}, axisLabel: {color: colors['soft-ink'], fontSize: 12, interval: 0}});

export function energy(data, unit, {width}) {
  const backup = data.backup_name && sources[data.backup_name === 'grid' ? 'r' : 'g'].color;
  legend('energy', [['fill', colors.sun, 'PV used']].concat(backup ? [['fill', backup, data.backup_name]] : [])
      .concat([['fill', colors.unused, 'PV curtailed'], ['fill', colors.water, 'pump'], ['fill', colors.loads, 'small loads']]));
  const describe = m => [months[m], `PV used ${data.pv_used[m].toFixed(0)} kWh`].concat(backup ? [`${data.backup_name} ${data.backup[m].toFixed(0)} kWh`] : [])
      .concat([`PV curtailed ${data.pv_curtailed[m].toFixed(0)} kWh`, `pump ${data.pump[m].toFixed(0)} kWh`, `small loads ${data.loads[m].toFixed(0)} kWh`]);
  return {
    count: 12, show: i => ({seriesIndex: 0, dataIndex: i}), describe,
    option: {
      ...base(), grid: {left: 50, right: 12, top: 34, bottom: 28}, xAxis: month_axis(width), yAxis: valueAxis('kWh a month'),
      tooltip: tooltip({axisPointer: {type: 'shadow'}, formatter: items => describe(items[0].dataIndex).join('<br>')}),
      series: [bar('sun', 'PV used', 'from', data.pv_used, {color: colors.sun})]
          .concat(backup ? [bar('backup', data.backup_name, 'from', data.backup, {color: backup})] : [])
          .concat([bar('unused', 'PV curtailed', 'from', data.pv_curtailed, {color: colors.unused, borderColor: colors.line, borderWidth: 0.75}),
                   bar('pump', 'pump', 'to', data.pump, {color: colors.water}), bar('loads', 'small loads', 'to', data.loads, {color: colors.loads})]),
    },
  };
}

export function water(data, unit, {width}) {
  const any_shortfall = data.shortfall.some(v => v > 0);
  legend('water', [['fill', colors.water, 'delivered']].concat(any_shortfall ? [['hatch', colors.nothing, 'shortfall: demand not delivered']] : []));
  const describe = m => [months[m], `delivered ${count(data.delivered[m])} ${data.water_unit}`, `shortfall ${count(data.shortfall[m])} ${data.water_unit}`];
  return {
    count: 12, show: i => ({seriesIndex: 0, dataIndex: i}), describe,
    option: {
      ...base(), aria: {enabled: true, label: {enabled: false}}, grid: {left: 58, right: 12, top: 34, bottom: 28}, xAxis: month_axis(width), yAxis: valueAxis(`${data.water_unit} a month`),
      tooltip: tooltip({axisPointer: {type: 'shadow'}, formatter: items => describe(items[0].dataIndex).join('<br>')}),
      series: [bar('delivered', 'delivered', 'water', data.delivered, {color: colors.water}), ].concat(any_shortfall ? [bar('shortfall', 'shortfall', 'water', data.shortfall.map(v => v > 0 ? v : null), hatched(colors.nothing))] : []),
    },
  };
}

export function duration(data, unit, {width}) {
  legend('duration', [['line', colors.battery, 'battery SOC']]);
  const describe = p => [`${p} % of the year`, `at ${data.soc[p].toFixed(0)} % or higher`];
  return {
    count: 101, show: i => ({seriesIndex: 0, dataIndex: i}), describe,
    option: {
      ...base(), grid: {left: 50, right: 24, top: 34, bottom: 52},
      xAxis: underAxis('% of the year', {type: 'value', min: 0, max: 100}), yAxis: valueAxis('SOC, %', {min: 0, max: 100, interval: 25}),
      tooltip: tooltip({formatter: items => describe(Math.round(items[0].value[0])).join('<br>')}),
      series: [{type: 'line', id: 'level', symbol: 'none', data: data.soc.map((v, p) => [p, v]), lineStyle: {color: colors.battery, width: 2.5}, itemStyle: {color: colors.battery}, areaStyle: {color: colors.battery, opacity: 0.15},
                markLine: {symbol: 'none', silent: true, data: socLines(data.min_soc, data.transfer, narrow(width))}}],
    },
  };
}
