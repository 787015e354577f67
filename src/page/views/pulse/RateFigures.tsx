import type { GuardBand } from "../../../studies/ratesResult.ts";
import { formatQuantity, type QuantityKind } from "../../../units/index.ts";
import type { RatesAnswer } from "../../worker/pulseRequests.ts";

type Result = NonNullable<RatesAnswer["result"]>;

const say = (value: number, kind: QuantityKind, digits = 4) =>
  formatQuantity(value, 0, kind, { digits });

/** What a scan of rates found: the verdict, the guard bands, the resonance they come from. */
export function RateFigures({ result, whole }: { result: Result; whole: boolean }) {
  const { guard_bands: bands, resonance, single, setting, recommended, reasons } = result;
  const measure = setting.measure === "gas" ? "gas per pulse" : "peak travel";
  const rows: [string, string, string][] = [
    ["gate", say(setting.gate_s, "time"), "of every pulse"],
    [
      "single pulse",
      single.gas_mol === null ? say(single.peak_lift_m, "length") : say(single.gas_mol, "amount"),
      `rests ${say(single.rests_after_s, "time")} after its gate edge`,
    ],
    [
      "first resonance",
      say(resonance.open_Hz, "frequency"),
      `${resonance.closed_Hz === null ? "" : `${say(resonance.closed_Hz, "frequency")} with the pad on its seat; `}ring-down ${say(resonance.ring_down_s, "time", 3)}`,
    ],
    [
      "highest rate",
      recommended.highest_Hz === null ? "none" : say(recommended.highest_Hz, "frequency"),
      recommended.text,
    ],
  ];
  return (
    <div className="ways rate-figures">
      <p className="ways-verdict">
        {whole ? "" : "So far: "}
        {result.verdict.text}
      </p>
      <h3>Guard bands</h3>
      {bands.length === 0 ? (
        <p>
          None{whole ? "" : " yet"}: {measure} stays within {say(100 * setting.change, "ratio", 2)}{" "}
          % of a single pulse at every rate computed.
        </p>
      ) : (
        <Bands bands={bands} measure={measure} />
      )}
      <h3>Resonance and single pulse</h3>
      <dl className="pulse-rows">
        {rows.map(([label, value, from]) => (
          <div key={label}>
            <dt>{label}</dt>
            <dd className="pulse-value">{value}</dd>
            <dd className="quiet-text">{from}</dd>
          </div>
        ))}
      </dl>
      {Object.entries(reasons).map(([key, reason]) => (
        <p className="quiet-text" key={key}>
          {reason.replaceAll("`", "")}.
        </p>
      ))}
    </div>
  );
}

function Bands({ bands, measure }: { bands: readonly GuardBand[]; measure: string }) {
  return (
    <dl className="pulse-rows">
      {bands.map((band) => (
        <div key={band.from_Hz}>
          <dt>
            {say(band.from_Hz, "frequency")} to {say(band.to_Hz, "frequency")}
          </dt>
          <dd className="pulse-value">{say(band.gas_over_single, "ratio", 3)} times</dd>
          <dd className="quiet-text">
            the {measure} of a single pulse at the worst, {say(band.worst_Hz, "frequency")}:{" "}
            {band.cause}
          </dd>
        </div>
      ))}
    </dl>
  );
}
