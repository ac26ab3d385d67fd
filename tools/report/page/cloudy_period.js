import {axis, base, colors, count, legend, narrow, rect, runs, socLines, sources, tooltip, valueAxis} from './theme.js';

const hour = 3600e3;
const start = Date.UTC(2001, 0, 1);

// State of charge, power, stored water and source, one below the other, on one time axis.
export function cloudy_period(data, unit, {width, height, print}) {
  const small = narrow(width);
  const n = data.soc.length;
  // SOC and volumes are values at the end of an hour, powers are means over the hour.
  const at = i => start + i * hour;
  const ends = values => values.map((v, i) => [at(i + 1), v]);
  // Before the first hour the SOC is that of the typical year at that date.
  const from_begin = soc => [[at(0), data.soc_begin]].concat(ends(soc));
  const steps = values => values.map((v, i) => [at(i), v]).concat([[at(n), values[n - 1]]]);
  const label = i => `${data.days[Math.floor(Math.min(i, n - 1) / 24)]}`;
  const timeLabel = value => {
    const i = Math.round((value - start) / hour);
    return i % 24 === 0 ? label(i) : `${String(i % 24).padStart(2, '0')}:00`;
  };
  const widest = Math.max(...data.store) >= 1e4 ? 64 : 52;
  const left = small ? widest : 60, right = small ? 12 : 20;
  // Shares of the height that titles, date labels and the slider leave.
  const gap = 34, foot = print ? 26 : 62, room = height - 26 - 3 * gap - foot;
  const shares = [0.5, 0.28, 0.15, 0.07];
  let top = 26;
  const grid = shares.map(share => {
    const g = {left, right, top, height: Math.round(room * share)};
    top += g.height + gap;
    return g;
  });
  const xAxis = shares.map((_, i) => axis({
    type: 'time', gridIndex: i, min: at(0), max: at(n),
    axisLabel: {show: i === 3, color: colors['soft-ink'], fontSize: 12, hideOverlap: true, formatter: timeLabel},
    axisTick: {show: i === 3}, splitLine: {show: false}, minInterval: hour,
    axisPointer: {label: {show: false}},
  }));
  const short = new Set(data.short);
  const yAxis = [
    valueAxis('SOC, %', {gridIndex: 0, min: 0, max: 100, interval: 25}),
    valueAxis('power, kW', {gridIndex: 1, splitNumber: 3}),
    valueAxis(`${data.store_name}, ${unit}`, {gridIndex: 2, splitNumber: 2, min: 0}),
    axis({type: 'category', gridIndex: 3, data: data.short.length ? ['short', 'fed by'] : ['fed by'], axisLine: {show: false}, axisTick: {show: false}, axisLabel: {color: colors['soft-ink'], fontSize: 11, margin: 4}}),
  ];
  const line = {type: 'line', symbol: 'none', animation: false};
  const series = [
    {...line, id: 'level', name: 'battery SOC', xAxisIndex: 0, yAxisIndex: 0, data: from_begin(data.soc),
     z: 5, lineStyle: {color: colors.battery, width: 2.5}, itemStyle: {color: colors.battery},
     markLine: {symbol: 'none', silent: true, animation: false,
                data: socLines(data.min_soc, data.transfer, small)},
     markArea: {silent: true, itemStyle: {color: colors.wash}, data: [[{xAxis: at(0)}, {xAxis: at(24 * data.cloudy_period_days)}]]}},
    {...line, id: 'sun', name: 'PV', xAxisIndex: 1, yAxisIndex: 1, step: 'end', data: steps(data.pv), lineStyle: {color: colors.sun, width: 1.5}, areaStyle: {color: colors.sun, opacity: 0.35}, itemStyle: {color: colors.sun}},
    {...line, id: 'load', name: 'load', xAxisIndex: 1, yAxisIndex: 1, step: 'end', data: steps(data.load), z: 4, lineStyle: {color: colors.ink, width: 1.25}, itemStyle: {color: colors.ink}},
    {...line, id: 'store', name: data.store_name, xAxisIndex: 2, yAxisIndex: 2, data: ends(data.store), lineStyle: {color: colors.water, width: 1.5}, areaStyle: {color: colors.water, opacity: 0.2}, itemStyle: {color: colors.water}},
    {type: 'custom', id: 'source', name: 'source', xAxisIndex: 3, yAxisIndex: 3, silent: true, clip: true, encode: {x: [0, 1], y: 2},
     data: runs(data.source).map(([a, b, s]) => [at(a), at(b), data.short.length ? 1 : 0, s]).concat(runs(data.soc.map((_, i) => short.has(i))).filter(r => r[2]).map(([a, b]) => [at(a), at(b), 0, '!'])),
     renderItem: (params, api) => {
       const kind = api.value(3), y = api.coord([0, api.value(2)])[1], high = api.size([0, 1])[1] * 0.8;
       const a = api.coord([api.value(0), 0])[0], b = api.coord([api.value(1), 0])[0];
       return rect(a, y - high / 2, Math.max(b - a, 0.75), high, {fill: kind === '!' ? colors.nothing : sources[kind].color}, params.coordSys);
     }},
  ];
  if (data.soc_alone) series.push({...line, id: 'alone', name: 'battery without backup', xAxisIndex: 0, yAxisIndex: 0, data: from_begin(data.soc_alone), lineStyle: {color: colors.ink, width: 1.5, type: 'dashed'}, itemStyle: {color: colors.ink}});
  if (data.backup) series.push({...line, id: 'backup', name: data.backup_name, xAxisIndex: 1, yAxisIndex: 1, step: 'end', data: steps(data.backup), lineStyle: {width: 0}, areaStyle: {color: sources[data.backup_name === 'grid' ? 'r' : 'g'].color, opacity: 1}, itemStyle: {color: sources[data.backup_name === 'grid' ? 'r' : 'g'].color}});

  const used = Object.keys(sources).filter(s => data.source.includes(s));
  legend('cloudy_period', [['line', colors.battery, 'battery SOC']]
      .concat(data.soc_alone ? [['dash', colors.ink, 'battery without backup']] : [])
      .concat([['fill', colors.sun, 'PV'], ['line', colors.ink, 'load']])
      .concat(data.backup ? [['fill', sources[data.backup_name === 'grid' ? 'r' : 'g'].color, data.backup_name]] : [])
      .concat([['line', colors.water, `water in the ${data.store_name}`]])
      .concat(used.filter(s => s === 'b' || s === 'x').map(s => ['fill', sources[s].color, `fed by ${sources[s].name}`]))
      .concat(data.short.length ? [['fill', colors.nothing, 'water short']] : []));

  const describe = i => {
    i = Math.max(0, Math.min(n - 1, i));
    const rows = [`${label(i)}, ${String(i % 24).padStart(2, '0')}:00 to ${String(i % 24 + 1).padStart(2, '0')}:00`,
                  `battery SOC ${data.soc[i].toFixed(0)} % at its end`];
    if (data.soc_alone) rows.push(`without backup ${data.soc_alone[i].toFixed(0)} %`);
    rows.push(`PV ${data.pv[i].toFixed(2)} kW, load ${data.load[i].toFixed(2)} kW`);
    if (data.backup && data.backup[i] > 0) rows.push(`${data.backup_name} ${data.backup[i].toFixed(2)} kW`);
    rows.push(`${data.store_name} ${count(data.store[i])} ${unit}`, `fed by ${sources[data.source[i]].name}`);
    if (short.has(i)) rows.push('WATER SHORT');
    return rows;
  };
  return {
    count: n,
    show: i => ({seriesIndex: 0, dataIndex: i + 1}),
    describe,
    option: {
      ...base(), grid, xAxis, yAxis, series,
      axisPointer: {link: [{xAxisIndex: 'all'}]},
      tooltip: tooltip({formatter: items => {
        const t = items[0] && items[0].axisValue;
        return describe(Math.floor((t - start) / hour - 1e-6)).join('<br>');
      }}),
      dataZoom: [
        {type: 'inside', xAxisIndex: [0, 1, 2, 3], filterMode: 'none', minValueSpan: 12 * hour, zoomOnMouseWheel: 'ctrl', moveOnMouseMove: true, moveOnMouseWheel: false, preventDefaultMouseMove: false},
        {type: 'slider', show: !print, xAxisIndex: [0, 1, 2, 3], filterMode: 'none', minValueSpan: 12 * hour, bottom: 4, height: 20, left, right, brushSelect: false, showDetail: false, showDataShadow: false,
         borderColor: colors.line, fillerColor: 'rgba(31,95,168,0.12)', handleStyle: {color: colors.paper, borderColor: colors.ink}, moveHandleSize: 0, textStyle: {color: colors.ink}},
      ],
    },
  };
}
