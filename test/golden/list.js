window.pictures = [
  {
    "name": "side-view-closed",
    "sentence": "Side view: strip 0.5 mm thick, free length 9 mm; with output high the pad lifts 13.63 μm from the seat below the strip, orifice 0.12 mm."
  },
  {
    "name": "side-view-open",
    "sentence": "Side view: strip 0.5 mm thick, free length 9 mm; with output high the pad lifts 13.63 μm from the seat below the strip, orifice 0.12 mm."
  },
  {
    "name": "side-view-pressure-opens",
    "sentence": "Side view: strip 0.5 mm thick, free length 9 mm; with output high the pad lifts 13.63 μm from the seat above the strip, orifice 0.12 mm."
  },
  {
    "name": "side-view-o-ring-above",
    "sentence": "Side view: strip 0.5 mm thick, free length 9 mm; with output high the pad lifts 13.63 μm from the seat above the strip, orifice 0.12 mm."
  },
  {
    "name": "side-view-strip",
    "sentence": "Side view: strip 0.5 mm thick, free length 9 mm; the tip swings 32.68 μm between output low and high."
  },
  {
    "name": "side-view-long-stack",
    "sentence": "Side view: strip 0.4 mm thick, free length 42 mm; the tip swings 0.82 mm between output low and high."
  },
  {
    "name": "side-view-no-wiring",
    "sentence": "Side view at rest: strip 0.5 mm thick, free length 9 mm; no wiring is given."
  },
  {
    "name": "section",
    "sentence": "Section of the strip in 7 states: strongest field with the poling 0.84 kV/mm in layer 1 (ringing to low); against it 0.16 kV/mm in layer 3 (lead upper face open, output low)."
  },
  {
    "name": "section-stack",
    "sentence": "Section of the strip in 2 states: strongest field with the poling 0.9 kV/mm in layer 1 (high); against it 50 V/mm in layer 1 (low)."
  },
  {
    "name": "drive-chain",
    "sentence": "Drive chain, state high: rails bias −150 V; electrodes lower face 0 V, vane 0 V, upper face −150 V; peak current 312 mA."
  },
  {
    "name": "section-no-wiring",
    "sentence": "Section of the strip; no wiring is given, so no field is known."
  },
  {
    "name": "window",
    "sentence": "Every requirement is met for free lengths from 8.702 mm (opening voltage over the switched step) to 9.478 mm (gas pulse asked for, against the shortest); now 9 mm with 11 % left."
  },
  {
    "name": "window-not-met",
    "sentence": "No free length looked at meets every requirement; now 9 mm with −72 % left."
  },
  {
    "name": "window-strip",
    "sentence": "Every requirement is met for free lengths from 7.894 mm (swing between the two states) to 15.3 mm (end of the range looked at); now 9 mm with 30 % left."
  },
  {
    "name": "load-lines",
    "sentence": "Forces at the seat against lift: the pad rests at −1.5 μm when closed and at 13.6 μm when open; it opens without a jump."
  },
  {
    "name": "load-lines-snap",
    "sentence": "Forces at the seat against lift: the pad rests at −2.22 μm when closed and at −19.3 nm or 10.4 μm when open; it snaps from 1.55 μm to 12.4 μm on opening."
  },
  {
    "name": "lock-out",
    "sentence": "At 150 V the high voltage must be off from 0.531 mbar to 0.136 bar (plenum) and from 0.531 mbar to 0.136 bar (vacuum side), filling and pumping down included."
  },
  {
    "name": "map-voltage",
    "sentence": "Over free lengths from 4.5 mm to 16.2 mm and voltages of bias from −30 V to −345 V every requirement is met in 34 % of the places: best at 8.16 mm and −135 V with 54 % left, where opening voltage over the switched step binds; now 9 mm and −150 V with 49 % left."
  },
  {
    "name": "map-stand-off",
    "sentence": "Over free lengths from 4.5 mm to 16.2 mm and stand-offs from −56.6 μm to 47.4 μm every requirement is met in 13 % of the places: best at 9.62 mm and −13.3 μm with 50 % left, where field with the poling, any state binds; now 9 mm and −5 μm with 49 % left."
  },
  {
    "name": "jet",
    "sentence": "Free jet of Ar from 1 bar and 295 K through 0.2 mm, 554.1 m/s at the end; skimmer at 10 mm, freezing surface at 12.2 mm, Mach disk at 13.4 mm, interaction point at 300 mm."
  },
  {
    "name": "pulse-traces",
    "sentence": "Pulse (gate 200 μs, output high to open, one pulse from rest): lift up to 84 μm at 200 μs, on the seat again at 271 μs with 1.3 m/s, 33 nmol of gas, 1 satellite."
  },
  {
    "name": "pulse-main",
    "sentence": "Main opening (gate 200 μs, output high to open, one pulse from rest): lift up to 84 μm at 200 μs, on the seat again at 271 μs with 1.3 m/s, 33 nmol of gas, 1 satellite."
  },
  {
    "name": "pulse-motion",
    "sentence": "The strip in side view: before the gate at 0 μs with lift −10 μm; half open at 110 μs with lift 44.4 μm; highest at 200 μs with lift 84 μm; half closed at 240 μs with lift 42.8 μm; pressed in most at 350 μs with lift −54.9 μm; satellite 1 at 510 μs with lift 2.26 μm."
  },
  {
    "name": "pulse-audit",
    "sentence": "Energy of one pulse: 940 μJ came in, 930 μJ was lost (most in series resistors 440 μJ, bleeder 330 μJ, ceramic hysteresis 90 μJ), stores changed by 9.5 μJ; 0.056 % is left open by the computation."
  },
  {
    "name": "pulse-travel",
    "sentence": "Pulse (gate 200 μs, output high to open, one pulse from rest): travel up to 84 μm at 200 μs."
  },
  {
    "name": "pulse-travel-motion",
    "sentence": "The strip in side view: before the gate at 0 μs with travel −10 μm; half open at 110 μs with travel 44.4 μm; farthest at 200 μs with travel 84 μm; half closed at 240 μs with travel 42.8 μm; farthest back at 350 μs with travel −54.9 μm."
  },
  {
    "name": "rates",
    "sentence": "Gas per pulse against rates from 10 Hz to 4 kHz: more than 5 % from a single pulse in 910 Hz to 910 Hz, 1.27 kHz to 1.46 kHz, 2.18 kHz to 3.27 kHz; recommended up to 820 Hz; beyond, gas per pulse, change from a single pulse binds."
  },
  {
    "name": "rate-map",
    "sentence": "Over rates from 30 Hz to 6 kHz and gates from 80 μs to 400 μs every pulse is as a single one in 58 % of the places; most of the rest: pulses alternate."
  },
  {
    "name": "rate-map-unfinished",
    "sentence": "Over rates from 30 Hz to 6 kHz and gates from 80 μs to 400 μs every pulse is as a single one in 58 % of the places, 55 of 561 cells computed; most of the rest: pulses alternate."
  },
  {
    "name": "shapes",
    "sentence": "Output and lift of first-valve in time for 5 drives: soft landing, switch 0.30 m/s at worst, no satellite; step 1.70 m/s at worst, 2 satellites; ZV, switch 0.71 m/s at worst, 1 satellite; ramp, waveform 0.55 m/s at worst, 1 satellite; raised cosine, waveform 0.41 m/s at worst, 1 satellite. Taken: soft landing, switch."
  },
  {
    "name": "reduce-fit",
    "sentence": "Damped oscillation, 1 mode, to the ring-down after 0.4 ms: converged, 900 points scatter by 12 mV about the fitted curve."
  },
  {
    "name": "reduce-fit-failed",
    "sentence": "Damped oscillation, 1 mode, to the ring-down after 0.4 ms: not converged, 900 points scatter by 12 mV about the fitted curve."
  },
  {
    "name": "reduce-trace",
    "sentence": "Measured signal, gate of ring-down.csv, 4000 rows, with 5 marks."
  },
  {
    "name": "reduce-comparison",
    "sentence": "Of 2 judged, 1 agree with what was expected; these do not: first resonance against the design with En -1.35."
  },
  {
    "name": "map-unfinished",
    "sentence": "Over free lengths from 4.5 mm to 16.2 mm and voltages of bias from −30 V to −345 V every requirement is met in 28 % of the places, 71 of 825 cells computed: best at 8.89 mm and −135 V with 51 % left, where opening voltage over the switched step binds; now 9 mm and −150 V with 49 % left."
  }
];
