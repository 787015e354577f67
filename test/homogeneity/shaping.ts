import { combinedSequence, sequenceLength, zvSequence } from "../../src/physics/shaping.ts";
import { commandResidual, commandWaveform } from "../../src/physics/shapingCommands.ts";
import { eiSequence } from "../../src/physics/shapingInsensitive.ts";
import {
  modeRates,
  residualVibration,
  toleratedBand,
  waveformResidual,
  worstResidual,
} from "../../src/physics/shapingResidual.ts";
import { switchedEdge, switchedPulse } from "../../src/physics/shapingSwitch.ts";
import {
  delayedWaveform,
  levelAt,
  raisedCosineEdge,
  rampEdge,
  shapedWaveform,
  waveformLength,
} from "../../src/physics/waveform.ts";
import { clampToLimits, slewOfCurrent } from "../../src/physics/waveformLimits.ts";
import { pulseWaveform, waveformTrain } from "../../src/physics/waveformPulse.ts";
import { sampledWaveform, sampleTime } from "../../src/physics/waveformSamples.ts";
import { gateEdges } from "../../src/physics/waveformWrite.ts";
import { declare, type InputMaker } from "./declare.ts";

const SEQUENCE = { times: "s", amplitudes: "" };
const WAVEFORM = { times: "s", levels: "" };

const zvd = ({ q }: InputMaker) => zvSequence(q(4.2, "kHz"), 0.03, 1);
const shaped = (i: InputMaker) => shapedWaveform(rampEdge(i.q(7, "μs")), zvd(i));

const switched = ({ q }: InputMaker, toward: "high" | "low") => {
  const f = q(4.2, "kHz");
  const output = {
    resistance: q(470, "Ω"),
    capacitance: q(20, "nF"),
    onTimeMin: q(1, "μs"),
    chargeRatio: 1.15,
    firstModeShare: 0.6,
  };
  return switchedEdge(zvSequence(f, 0.03), f, 0.03, toward, output);
};
const gated = (i: InputMaker) =>
  switchedPulse(switched(i, "high"), switched(i, "low"), i.q(300, "μs"));
const constants = ({ q }: InputMaker) => ({ high: q(9, "μs"), low: q(11, "μs") });

export const SHAPING = [
  declare({ of: [zvSequence], call: zvd, outputs: SEQUENCE }),
  declare({
    of: [eiSequence],
    call: ({ q }) => eiSequence(q(4.2, "kHz"), 0.03, 0.05),
    outputs: SEQUENCE,
  }),
  declare({
    of: [combinedSequence],
    call: (i) => combinedSequence(zvd(i), zvSequence(i.q(26, "kHz"), 0.01)),
    outputs: SEQUENCE,
  }),
  declare({ of: [sequenceLength], call: (i) => sequenceLength(zvd(i)), outputs: "s" }),
  declare({
    of: [residualVibration, waveformResidual],
    call: (i) => [
      residualVibration(zvd(i), i.q(4.5, "kHz"), 0.03),
      waveformResidual(shaped(i), i.q(4.5, "kHz"), 0.03),
    ],
    outputs: "",
  }),
  declare({
    of: [worstResidual],
    call: (i) =>
      worstResidual(
        (f) => residualVibration(zvd(i), f, 0.03),
        i.q(4.2, "kHz"),
        0.05,
        sequenceLength(zvd(i)),
      ),
    outputs: { residual: "", frequency: "Hz" },
  }),
  declare({
    of: [toleratedBand],
    call: (i) => toleratedBand(zvd(i), i.q(4.2, "kHz"), 0.03, 0.05),
    outputs: { from: "", to: "" },
  }),
  declare({
    of: [modeRates],
    call: ({ q }) => modeRates(q(4.2, "kHz"), 0.03),
    outputs: { decay: "1/s", turn: "rad/s" },
  }),
  declare({
    of: [rampEdge, shapedWaveform],
    call: shaped,
    outputs: WAVEFORM,
  }),
  declare({
    of: [raisedCosineEdge],
    call: ({ q }) => raisedCosineEdge(q(240, "μs"), 1e-3),
    outputs: WAVEFORM,
  }),
  declare({
    of: [levelAt],
    call: (i) => levelAt(shaped(i), i.q(50, "μs")),
    outputs: "",
  }),
  declare({ of: [waveformLength], call: (i) => waveformLength(shaped(i)), outputs: "s" }),
  declare({
    of: [delayedWaveform],
    call: (i) => delayedWaveform(shaped(i), i.q(31, "μs")),
    outputs: WAVEFORM,
  }),
  declare({
    of: [pulseWaveform, waveformTrain],
    call: (i) =>
      waveformTrain(pulseWaveform(shaped(i), shaped(i), i.q(300, "μs")), i.q(2, "ms"), 3),
    outputs: WAVEFORM,
  }),
  declare({
    of: [slewOfCurrent],
    call: ({ q }) => slewOfCurrent(q(30, "mA"), q(22, "nF")),
    outputs: "V/s",
  }),
  declare({
    of: [clampToLimits],
    call: (i) =>
      clampToLimits(shaped(i), {
        closedVoltage: i.q(0, "V"),
        openVoltage: i.q(-150, "V"),
        slewMax: i.q(3, "V/μs"),
        voltageMin: i.q(-140, "V"),
        voltageMax: null,
      }),
    outputs: { waveform: WAVEFORM, largestError: "V", delay: "s" },
  }),
  declare({
    of: [sampledWaveform, sampleTime],
    call: (i) => {
      const sampled = sampledWaveform(shaped(i), i.q(0.37, "MHz"));
      return { sampled, third: sampleTime(sampled, 3) };
    },
    outputs: {
      sampled: { rate: "Hz", start: "s", levels: "", largestError: "" },
      third: "s",
    },
  }),
  declare({
    of: [switchedEdge],
    call: (i) => switched(i, "high"),
    outputs: {
      commands: { each: { time: "s" } },
      plateaus: "",
      timeConstant: "s",
      length: "s",
    },
  }),
  declare({ of: [switchedPulse], call: gated, outputs: { each: { time: "s" } } }),
  declare({
    of: [commandWaveform],
    call: (i) => commandWaveform(gated(i), constants(i)),
    outputs: WAVEFORM,
  }),
  declare({
    of: [commandResidual],
    call: (i) => commandResidual(gated(i), constants(i), i.q(4.4, "kHz"), 0.03),
    outputs: "",
  }),
  declare({
    of: [gateEdges],
    call: (i) => gateEdges(gated(i), i.q(300, "ns"), i.q(2, "ns")),
    outputs: { each: { delay: "s", uncertainty: "s" } },
  }),
];
