import { useState } from "react";
import { download } from "../../actions.ts";
import { type BenchFile, readBy, recipeFile, recipeFrom, useBench } from "../../compute/bench.ts";
import {
  fitting,
  forgetRecipe,
  type KeptRecipe,
  keepRecipe,
  keptRecipes,
  nameOf,
} from "../../compute/benchRecipes.ts";
import { tell } from "../../state.ts";

/** How a file was read, kept under a name and offered for files of the same layout. */
export function Recipes({ file }: { file: BenchFile }) {
  const kind = useBench((state) => state.kind) ?? "";
  const [name, setName] = useState("");
  const [, again] = useState(0);
  const { answer, by } = file;
  const reading = answer === null || answer.outcome === "stopped" ? null : answer.reading;
  const fits = reading === null ? [] : fitting(kind, reading.columns);
  const others = keptRecipes().filter(
    (each) => each.kind === kind && !fits.some((fit) => nameOf(fit) === nameOf(each)),
  );
  const keep = () => {
    if (answer?.outcome !== "data" || name.trim() === "") return;
    try {
      keepRecipe({ kind, recipe: { ...answer.recipe, name: name.trim() } });
      tell("told", `The recipe ${name.trim()} is kept in this browser.`);
      setName("");
      again((n) => n + 1);
    } catch {
      tell("caution", "This browser keeps nothing for this page: take the recipe as a file.");
    }
  };
  const take = async () => {
    if (answer?.outcome !== "data") return;
    const called = name.trim() || by?.name || "recipe";
    download(
      `${called}.recipe.yaml`,
      await recipeFile({ ...answer.recipe, name: called }),
      "text/plain",
    );
  };
  return (
    <section className="bench-recipes" aria-label="Recipe">
      <h3>Recipe</h3>
      {by !== null && (
        <p>
          Read by <b>{by.name}</b>.{" "}
          <button type="button" className="quiet" onClick={() => readBy(file.id, null)}>
            Read without it
          </button>
        </p>
      )}
      {[...fits, ...others]
        .filter((each) => nameOf(each) !== by?.name)
        .map((each) => (
          <Kept
            key={nameOf(each)}
            kept={each}
            fits={fits.includes(each)}
            onTake={() => readBy(file.id, each.recipe)}
            onForget={() => {
              forgetRecipe(each);
              again((n) => n + 1);
            }}
          />
        ))}
      <p className="bench-recipe-line">
        {answer?.outcome === "data" && (
          <>
            <label htmlFor="bench-recipe-name">Keep this reading as</label>
            <input
              id="bench-recipe-name"
              type="text"
              autoComplete="off"
              value={name}
              placeholder="a name"
              onChange={(event) => setName(event.target.value)}
              onKeyDown={(event) => event.key === "Enter" && keep()}
            />
            <button type="button" disabled={name.trim() === ""} onClick={keep}>
              Keep
            </button>
            <button type="button" onClick={() => void take()}>
              As a file
            </button>
          </>
        )}
        <FromFile onRecipe={(recipe) => readBy(file.id, recipe)} />
      </p>
    </section>
  );
}

function Kept({
  kept,
  fits,
  onTake,
  onForget,
}: {
  kept: KeptRecipe;
  fits: boolean;
  onTake: () => void;
  onForget: () => void;
}) {
  return (
    <p className="bench-recipe-line">
      {fits ? "Same layout: " : "Another layout: "}
      <button type="button" className={fits ? "strong" : ""} onClick={onTake}>
        Read by {nameOf(kept)}
      </button>
      <button
        type="button"
        className="quiet"
        aria-label={`Forget ${nameOf(kept)}`}
        onClick={onForget}
      >
        Forget
      </button>
    </p>
  );
}

function FromFile({
  onRecipe,
}: {
  onRecipe: (recipe: import("../../../bench/import/recipe.ts").Recipe) => void;
}) {
  const open = async (file: File | undefined) => {
    if (file === undefined) return;
    const read = await recipeFrom(await file.text());
    if (typeof read === "string") tell("trouble", `${file.name} is no recipe: ${read}`);
    else onRecipe(read);
  };
  return (
    <label className="bench-from-file">
      Read by a recipe file
      <input
        type="file"
        accept=".yaml,.yml,.json,.txt"
        onChange={(event) => {
          void open(event.target.files?.[0]);
          event.target.value = "";
        }}
      />
    </label>
  );
}
