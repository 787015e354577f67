/** What the symptom finder says: the `result` object of `reedlift diagnose --json`. */
export interface DiagnosisResult {
  text: string;
  symptoms: { id: string; name: string }[];
  /** Likeliest first. */
  causes: CauseRow[];
  /** Ids of causes that the data speak against. */
  not_to_blame: string[];
  /** Tests that tell the likeliest from the runner-up, best first. */
  next_tests: NextTest[];
  /** Values against the design as it is. */
  values: {
    figure: string;
    name: string;
    kind: string | null;
    measured: number;
    u_measured: number;
    expected: number;
    u_expected: number;
    en: number;
    /** Under the likeliest cause; null where it changes nothing that the sheet has. */
    explained: number | null;
  }[];
  /** Probability that the values differ from the design by chance alone; null without values. */
  as_designed: number | null;
  notes: string[];
}

export interface CauseRow {
  id: string;
  name: string;
  mend: string;
  /** Of all causes looked at, with these data. */
  share: number;
  /** Before the data: from the symptoms alone. */
  share_before: number;
  /** What is wrong by how much, fitted to the values; none without values. */
  sizes: { name: string; unit: "m" | "kg" | "share" | "number"; value: number }[];
  /** χ² of the values with this cause, and its chance; null without values or where it changes none. */
  chi_squared: number | null;
  probability: number | null;
  /** ln of the likelihood of each kind of data against no cause at all. */
  evidence: { values: number; series: number; outcomes: number };
}

export interface NextTest {
  test: string;
  /** Ids of the causes that it tells apart. */
  between: [string, string];
  /** What to expect under each. */
  expect: [string, string];
  /** Divergence of the two expectations (J. of H. Jeffreys): above 2 it tells. */
  tells: number;
}
