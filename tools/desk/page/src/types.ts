// What the border of the engine answers (tools/desk/desk.hpp), as far as the page uses it.

export type Units = 'us' | 'metric';
export type Answer<T> = {answer: T; warnings?: string[]; error?: undefined} | {error: string; answer?: undefined};

/** The open design: its text, the files it names by path, and weather in place of its own. */
export interface Design {
  path: string;
  text: string;
  files: Record<string, Uint8Array>;
  weather: string[];
  /** The file that gives temperature and wind to recorded years without them. */
  temperature?: string | undefined;
}

export interface Loaded {
  title: string;
  place: string;
  units: Units;
  options: string[];
}

/** A key that a scenario may have. */
export interface KeyText {
  key: string;
  kind: string;
  unit: string;
  usual: string;
  range: string;
  choices: string[];
  more: boolean;
  help: string;
}

/** A key that the scenario has. */
export interface ScenarioKey {
  key: string;
  entry: string;
  value: string;
  shown: string;
  note: string;
}

export interface Year {
  demand_met_fraction: number;
  shortage_hours: number;
  longest_shortage_h: number;
  soc_min: number;
  generator_run_h: number;
  generator_fuel_l: number;
  generator_starts: number;
  grid_kwh: number;
  pump_starts: number;
  max_starts_per_day: number;
  shortest_run_s: number;
  pv_curtailed_kwh: number;
  pv_used_kwh: number;
  ac_served_kwh: number;
  water_short_m3: number;
  water_delivered_m3: number;
  shortages: {from: string; hours: number; cause: string}[];
}

export interface YearsVerdict {
  years: number;
  held: number;
  held_low: number;
  held_high: number;
  needed: number;
  met: boolean;
  close: boolean;
  limit_met: boolean;
  worst_shortage_hours: number;
  hours_short: number[];
}

export interface Verdict {
  judged: 'new' | 'end_of_life';
  winters: boolean;
  new: Record<string, YearsVerdict>;
  end_of_life: Record<string, YearsVerdict>;
}

export interface VerdictAnswer {
  verdict: Verdict;
  source: string;
  years: number;
  worst?: string;
}

export interface Check {
  check: string;
  title: string;
  group: string;
  verdict: 'PASS' | 'MARGINAL' | 'FAIL' | 'UNKNOWN';
  margin: number | null;
  value_text: string;
  limit_text: string;
  detail: string;
  change: string;
  source: string;
  provenance: string;
  waived: string | null;
}
export interface Checks {
  checks: Check[];
  notes: string[];
}

export interface Hours {
  name: string;
  words: string;
  first_hour: number;
  from: number | null;
  to: number | null;
  store: string;
  min_soc: number;
  backup: string;
  transfer_below: number | null;
  soc: number[];
  pv_kw: number[];
  pv_available_kw: number[];
  load_kw: number[];
  backup_kw: number[];
  generator_run_h: number[];
  store_l: number[];
  demand_l: number[];
  short_l: number[];
  source: string;
  /** The table of the run as the command prints it. */
  lines: {label: string; text: string}[];
}

/** A design with some keys changed, over the same years. */
export interface VerdictRow {
  error: string | null;
  held?: number;
  years?: number;
  needed?: number;
}

export interface Cloudiness {
  shares: number[];
  days: (number | null)[];
  most: number;
}

/** A cloudy period of the site, as a share of a clear sky. */
export interface SitePeriod {
  source: string;
  share: number;
  words: string;
}

export interface StatedRange {
  input: string;
  low: string;
  high: string;
  provenance: string;
}
export interface SensitivityEnd {
  value: string;
  shortage_hours: number;
  generator_run_h: number;
  grid_kwh: number;
  verdicts?: Record<string, string>;
  problem?: string;
}
export interface SensitivityInput {
  input: string;
  provenance: string;
  low: SensitivityEnd;
  base_design: SensitivityEnd;
  high: SensitivityEnd;
  flipped: {verdict: string; at_low: string; base_design: string; at_high: string}[];
}

export interface Cost {
  life_cycle_cost: number;
  years: number;
  currency: string;
}

export interface Part {
  name: string;
  about: string;
  price: number | null;
  currency: string;
}
export interface PartChange {
  key: string;
  from: string | null;
  to: string | null;
}

export interface ComparedDesign {
  name: string;
  reason: string;
  years?: {years: number; shortage_hours: {low: number; high: number}};
  [figure: string]: unknown;
}
export interface Comparison {
  designs: ComparedDesign[];
  best: Record<string, string[]>;
  first: string;
  order: string;
  cost_note: string;
  years_note: string;
}

/** The figures by which a change is told: of the last answer, or of a design that was kept. */
export interface Figures {
  year: Year;
  verdict: YearsVerdict | null;
  winters: boolean;
  autonomy_d: number | null | undefined;
  start: string;
  cost: Cost | null;
}

export interface Kept {
  name: string;
  text: string;
  figures: Figures;
}

/** The design that changes are counted from: as it was opened, saved to a file, or kept as an option. */
export interface Saved {
  /** "the design was opened", "option A". */
  name: string;
  text: string;
  /** null: its answer has not come yet. */
  figures: Figures | null;
}
