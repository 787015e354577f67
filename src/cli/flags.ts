/** The options of a command after parsing; absent means not given. */
export interface Flags {
  json?: true;
  svg?: string;
  force?: true;
  budget?: readonly string[];
  tables?: string;
  seed?: number;
  port?: number;
  /** Of `pulse`; quantities as written. */
  gate?: string;
  edges?: string;
  waveform?: string;
  count?: number;
  rate?: string;
  duration?: string;
  step?: string;
  modes?: number;
  linear?: true;
  startUp?: true;
  halveStep?: true;
  csv?: string;
  parquet?: string;
  /** Of `rates`; quantities as written. */
  from?: string;
  to?: string;
  change?: string;
  lengths?: string;
  jobs?: number;
  /** Of `shape`; quantities as written. */
  error?: string;
  landings?: number;
  by?: string;
  drive?: string;
  sampleRate?: string;
  timing?: string;
  /** Of `reduce`; quantities as written. */
  design?: string;
  set?: readonly string[];
  column?: readonly string[];
  unit?: readonly string[];
  scale?: readonly string[];
  offset?: readonly string[];
  readAs?: readonly string[];
  leaveOut?: string;
  useAsIs?: string;
  recipe?: string;
  saveRecipe?: string;
  /** Of `calibrate`. */
  out?: string;
  free?: readonly string[];
  hold?: readonly string[];
  trace?: string;
  /** Of `diagnose`. */
  symptom?: readonly string[];
  outcome?: readonly string[];
  /** Of `bench-sheet`; quantities as written. */
  html?: string;
  resolution?: string;
  reading?: string;
  exitZero?: true;
  dryRun?: true;
  ascii?: true;
  quiet?: true;
  /** false with `--no-color`. */
  color?: boolean;
}
