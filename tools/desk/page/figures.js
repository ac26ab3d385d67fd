// The figures of a year, each with its words, its value from the answer of `year` and how it is written.

const liters_per_gallon = 3.785411784;

export function number(value) {
  if (value === 0) return '0';
  const digits = Math.abs(value) >= 100 ? 0 : Math.abs(value) >= 10 ? 1 : 2;
  return value.toLocaleString('en-US', {maximumFractionDigits: digits});
}

export const fuel = (liters, us) => us ? `${number(liters / liters_per_gallon)} gal` : `${number(liters)} L`;
const volume = (m3, us) => fuel(m3 * 1000, us);

export const figures = [
  {label: 'Demand met', of: y => y.demand_met_fraction, show: v => `${number(100 * v)} %`, worse: 'less'},
  {label: 'Hours short of water', of: y => y.shortage_hours, show: v => `${number(v)} h`, worse: 'more'},
  {label: 'Longest shortage', of: y => y.longest_shortage_h, show: v => `${number(v)} h`, worse: 'more'},
  {label: 'Water shortfall', of: y => y.water_short_m3 < 1e-6 ? 0 : y.water_short_m3, show: volume, worse: 'more'},
  {label: 'Lowest state of charge', of: y => y.soc_min, show: v => `${number(100 * v)} %`, worse: 'less'},
  {label: 'Generator run time', of: y => y.generator_run_h, show: v => `${number(v)} h`, worse: 'more'},
  {label: 'Generator fuel', of: y => y.generator_fuel_l, show: fuel, worse: 'more'},
  {label: 'Energy from the grid', of: y => y.grid_kwh, show: v => `${number(v)} kWh`, worse: 'more'},
  {label: 'Pump starts, most in a day', of: y => y.max_starts_per_day, show: v => number(v), worse: 'more'},
  {label: 'Shortest pump run', of: y => y.shortest_run_s, show: v => `${number(v)} s`, worse: 'less'},
  {label: 'PV curtailed', of: y => y.pv_curtailed_kwh, show: v => `${number(v)} kWh`},
];
