import { set, usePage } from "../state.ts";
import { type PictureId, stepOf } from "../steps.ts";
import { CommandLine } from "./CommandLine.tsx";
import { FigureBox } from "./FigureBox.tsx";
import { LengthOnChart } from "./LengthOnChart.tsx";
import { MapView } from "./MapView.tsx";
import { Numbers } from "./Numbers.tsx";
import { placeOfPart } from "./parts.ts";
import { PulseFigures } from "./pulse/PulseFigures.tsx";
import { PulseView } from "./pulse/PulseView.tsx";
import { RateView } from "./pulse/RateView.tsx";
import { StateChoice } from "./StateChoice.tsx";
import { WaysView } from "./WaysView.tsx";

/** The one picture that decides the step, large, and its figures below. */
export function PictureColumn() {
  const step = usePage((state) => stepOf(state.step));
  const chosen = usePage((state) => state.picture[state.step]) ?? step.pictures[0]!.id;
  const head = step.pictures.length > 1 && (
    <fieldset className="choice">
      <legend className="spoken">Picture</legend>
      {step.pictures.map(({ id, name }) => (
        <label key={id}>
          <input
            type="radio"
            name="picture"
            checked={id === chosen}
            onChange={() => set((state) => ({ picture: { ...state.picture, [state.step]: id } }))}
          />
          <span>{name}</span>
        </label>
      ))}
    </fieldset>
  );
  return (
    <section className="picture" aria-label={`Picture: ${step.name}`}>
      <Picture key={chosen} id={chosen} head={head} />
      <Numbers step={step} />
      <CommandLine />
    </section>
  );
}

function toPart(part: string): void {
  const place = placeOfPart(part);
  if (place !== null) set(place);
}

function Picture({ id, head }: { id: PictureId; head: React.ReactNode }) {
  switch (id) {
    case "ways":
      return <WaysView />;
    case "window":
      return (
        <FigureBox
          id="window"
          head={head}
          empty="There is no window yet: say at Need what is asked for, and give the wiring."
        >
          <LengthOnChart />
        </FigureBox>
      );
    case "section":
      return (
        <FigureBox
          id="section"
          head={<StateChoice />}
          onPart={toPart}
          empty="Give the strip's layers to see its section."
        />
      );
    case "load-lines":
      return (
        <FigureBox
          id="load-lines"
          head={head}
          empty="Load lines need a pad, a seat and a wiring. Add pad and seat at the left."
        />
      );
    case "lock-out":
      return (
        <FigureBox id="lock-out" head={head} empty="The lock-out band needs a gas and a rail." />
      );
    case "drive-chain":
      return (
        <FigureBox
          id="drive-chain"
          head={
            <>
              {head}
              <StateChoice none="output high" />
            </>
          }
          onPart={toPart}
          empty="The drive chain needs a rail and a switch. Add them at the left."
        />
      );
    case "pulse-traces":
      return <PulseView head={head} />;
    case "pulse-figures":
      return <PulseFigures head={head} />;
    case "rates":
      return <RateView kind="rates" head={head} />;
    case "rate-map":
      return <RateView kind="rate map" head={head} />;
    case "shapes":
      return <RateView kind="shapes" head={head} />;
    case "map-voltage":
      return (
        <MapView
          map="length-voltage"
          head={head}
          empty="A map over the voltage needs a rail that drives the strip and something to ask for."
        />
      );
    case "map-stand-off":
      return (
        <MapView
          map="length-stand-off"
          head={head}
          empty="A map over the stand-off needs a seat and something to ask for."
        />
      );
    default:
      // The pictures of the bench have a column of their own.
      return null;
  }
}
