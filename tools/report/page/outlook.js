// How long the water lasts: by the sky, by what is changed, and by the sizes of array and battery.
import {axis, base, colors, count, font, heat, legend, narrow, shorten, escape, tooltip, underAxis, valueAxis} from './theme.js';

const line_styles = [
  {color: 'water', type: 'solid', symbol: 'circle'}, {color: 'generator', type: 'dashed', symbol: 'rect'},
  {color: 'battery', type: 'solid', symbol: 'triangle'}, {color: 'grid', type: 'dotted', symbol: 'diamond'},
  {color: 'ink', type: 'dashed', symbol: 'emptyCircle'}, {color: 'sun', type: 'solid', symbol: 'emptyRect'},
];
const days = (value, most) => value === null ? `over ${most} days` : `${value.toFixed(1)} days`;

export function survival(data, unit, {width}) {
  const style = i => line_styles[i % line_styles.length];
  const name = line => shorten(line.name, narrow(width) ? 24 : 48);
  legend('survival', data.lines.map((l, i) => [style(i).type === 'solid' ? 'line' : 'dash', colors[style(i).color], data.lines.length > 1 && i === data.quoted ? `${name(l)} (quoted)` : name(l)]));
  const describe = i => [`${data.shares[i]} % of a clear sky`].concat(data.lines.map(l => `${name(l)}: ${days(l.days[i], data.most)}`));
  const top = Math.max(...data.lines.flatMap(l => l.days.map(d => d === null ? data.most : d)));
  return {
    count: data.shares.length,
    show: i => ({seriesIndex: 0, dataIndex: i}),
    describe,
    option: {
      ...base(),
      grid: {left: 50, right: 24, top: 34, bottom: 52},
      xAxis: underAxis('light in the cloudy period, % of a clear sky', {type: 'category', data: data.shares.map(String), boundaryGap: false}),
      yAxis: valueAxis('days to the first shortage', {min: 0, max: top >= data.most ? data.most : undefined}),
      tooltip: tooltip({formatter: items => describe(items[0].dataIndex).map(escape).join('<br>')}),
      series: data.lines.map((l, i) => ({
        type: 'line', id: 'line-' + i, name: name(l), data: l.days.map(d => d === null ? data.most : d), symbol: style(i).symbol, symbolSize: 8, clip: false,
        lineStyle: {color: colors[style(i).color], type: style(i).type, width: i === data.quoted ? 3 : 2}, itemStyle: {color: colors[style(i).color]}, z: i === data.quoted ? 4 : 3,
        markPoint: {symbol: 'arrow', symbolSize: 9, symbolOffset: [0, -10], silent: true, itemStyle: {color: colors[style(i).color]},
                    data: l.days.map((d, k) => d === null ? {coord: [String(data.shares[k]), data.most]} : null).filter(Boolean)},
      })),
    },
  };
}

export function tornado(data, unit, {width}) {
  const small = narrow(width);
  const most = data.most, base_days = data.base === null ? most : data.base;
  const value = v => v === null ? most : v;
  const items = [];
  data.bars.forEach((b, i) => ['low', 'high'].forEach(side => {
    if (b[side + '_tried']) items.push([i, value(b[side]), b[side + '_text'], days(b[side], most)]);
  }));
  legend('tornado', [['fill', colors.generator, 'short of water sooner'], ['fill', colors.water, 'lasts longer']]);
  const describe = i => {
    const b = data.bars[i];
    return [b.name].concat(['low', 'high'].filter(s => b[s + '_tried']).map(s => `${b[s + '_text']}: ${days(b[s], most)}`));
  };
  const top = Math.max(base_days, ...items.map(i => i[1]));
  // On a phone the label is above each bar, one line over the whole width, and not beside it.
  const left = small ? 16 : 190;
  const long = text => text.length * 6.4 + 10;
  // Whether a text that begins at x = from, to the right or to the left, meets the text of another end.
  const overlaps = (one, k, x, box) => {
    const [, v, text] = items[k], less = v < base_days, end = x(v);
    const fits = (less ? end - box.x : box.x + box.width - end) > long(text);
    const right = less !== fits, from = fits ? end : x(base_days);
    const span = (t, r, f) => r ? [f, f + long(t)] : [f - long(t), f];
    const [a, b] = [span(one.text, one.right, one.from), span(text, right, from)];
    return v !== base_days && a[0] < b[1] && b[0] < a[1];
  };
  return {
    count: data.bars.length,
    show: i => ({seriesIndex: 0, dataIndex: items.findIndex(item => item[0] === i)}),
    describe,
    option: {
      ...base(),
      grid: {left, right: small ? 16 : 40, top: 14, bottom: 52},
      xAxis: underAxis('days to the first shortage', {type: 'value', min: 0, max: Math.min(most, Math.ceil(top * 1.25))}),
      yAxis: axis({type: 'category', inverse: true, data: data.bars.map(b => b.name), axisTick: {show: false}, splitLine: {show: false},
                   axisLabel: {show: !small, color: colors.ink, fontSize: 13, width: left - 12, overflow: 'break', interval: 0, lineHeight: 14}}),
      tooltip: tooltip({trigger: 'item', formatter: p => describe(p.value[0]).map(escape).join('<br>')}),
      series: [{
        type: 'custom', id: 'bars', data: items, encode: {x: 1, y: 0},
        markLine: {symbol: 'none', silent: true, data: [{xAxis: base_days, label: {show: false}}], lineStyle: {color: colors.ink, width: 2, type: 'solid'}},
        renderItem: (params, api) => {
          const i = api.value(0), v = api.value(1), item = items[params.dataIndex];
          const a = api.coord([base_days, i]), b = api.coord([v, i]);
          const row = api.size([0, 1])[1], high = Math.min(row * (small ? 0.4 : 0.62), 20), middle = a[1] + (small ? row * 0.2 : 0);
          const less = v < base_days, lies = Math.min(a[0], b[0]);
          const room = less ? b[0] - params.coordSys.x : params.coordSys.x + params.coordSys.width - b[0];
          const text = item[2];
          const fits = room > long(text);
          const children = [{type: 'rect', shape: {x: lies, y: middle - high / 2, width: Math.max(Math.abs(b[0] - a[0]), 1), height: high}, style: {fill: less ? colors.generator : colors.water}}];
          if (small) {
            const b = data.bars[i], sides = ['low', 'high'].filter(s => b[s + '_tried']).map(s => b[s + '_text']).filter(t => !b.name.includes(t));
            if (items.findIndex(other => other[0] === i) === params.dataIndex)
              children.push({type: 'text', silent: true, x: params.coordSys.x, y: a[1] - row * 0.24, style: {text: [b.name].concat(sides.length ? [sides.join(' / ')] : []).join(': '), font: `12px ${font}`, fill: colors.ink, stroke: colors.paper, lineWidth: 3, textAlign: 'left', textVerticalAlign: 'middle', lineHeight: 13, width: params.coordSys.width, overflow: 'break'}});
            return {type: 'group', children};
          }
          // Beyond the end of its bar or, if there is no room, on the other side of the line.
          const right = less !== fits;
          const from = fits ? b[0] : a[0];
          // Where the other end's text would be in the same place, that end is named in the tip and the table alone.
          const other = items.findIndex((one, k) => one[0] === i && k !== params.dataIndex);
          const beaten = other >= 0 && overlaps({text, right, from}, other, end => api.coord([end, i])[0], params.coordSys) && params.dataIndex > other;
          if (v !== base_days && !beaten) children.push({type: 'text', silent: true, x: from + (right ? 5 : -5), y: a[1], style: {text, font: `12px ${font}`, fill: colors['soft-ink'], textAlign: right ? 'left' : 'right', textVerticalAlign: 'middle'}});
          return {type: 'group', children};
        },
      }],
    },
  };
}

export function map(data, unit, {width}) {
  const small = narrow(width);
  const cells = data.values.flatMap((row, j) => row.map((v, i) => [i, j, v]));
  const step = v => v >= data.years ? 0 : Math.min(5, 1 + Math.floor(4.999 * Math.sqrt((data.years - v) / data.years)));
  const describe = k => {
    const [i, j, v] = cells[k];
    const rows = [`array ${data.array[i]} kW, battery ${data.battery[j]} kWh`, `${data.figure}: ${v}`, `${data.second_figure}: ${count(data.second[j][i])}`];
    if (i === data.quoted_array && j === data.quoted_battery) rows.push('as quoted');
    return rows;
  };
  legend('map', [['fill', heat[0], `all (${data.years})`], ['fill', heat[3], 'some'], ['fill', heat[5], 'none']]);
  return {
    count: cells.length,
    show: k => ({seriesIndex: 0, dataIndex: k}),
    describe,
    option: {
      ...base(),
      grid: {left: small ? 54 : 64, right: 16, top: 34, bottom: 52},
      xAxis: underAxis('array, kW', {type: 'category', data: data.array, splitLine: {show: false}, axisTick: {show: false}}),
      yAxis: valueAxis('battery, kWh', {type: 'category', data: data.battery, splitLine: {show: false}}),
      tooltip: tooltip({trigger: 'item', formatter: p => describe(p.dataIndex).map(escape).join('<br>')}),
      series: [{
        type: 'custom', id: 'cells', data: cells, encode: {x: 0, y: 1},
        renderItem: (params, api) => {
          const [i, j, v] = [api.value(0), api.value(1), api.value(2)];
          const [x, y] = api.coord([i, j]), [w, h] = api.size([1, 1]);
          const quoted = i === data.quoted_array && j === data.quoted_battery;
          return {type: 'group', z2: quoted ? 10 : 1, children: [
            {type: 'rect', z2: quoted ? 10 : 1, shape: {x: x - w / 2 + 1.5, y: y - h / 2 + 1.5, width: w - 3, height: h - 3}, style: {fill: heat[step(v)], stroke: quoted ? colors.ink : colors.hair, lineWidth: quoted ? 4 : 1}},
            {type: 'text', silent: true, z2: 11, x, y, style: {text: String(v), font: `${quoted ? 'bold ' : ''}${small ? 12 : 14}px ${font}`, fill: step(v) >= 4 ? colors.paper : colors.ink, textAlign: 'center', textVerticalAlign: 'middle'}},
          ]};
        },
      }],
    },
  };
}
