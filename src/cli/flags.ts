/** The options of a command after parsing; absent means not given. */
export interface Flags {
  json?: true;
  svg?: string;
  force?: true;
  budget?: readonly string[];
  tables?: string;
  seed?: number;
  port?: number;
  exitZero?: true;
  dryRun?: true;
  ascii?: true;
  quiet?: true;
  /** false with `--no-color`. */
  color?: boolean;
}
