import { useState } from "preact/hooks";
import { putWays, readWaysFrom, type WayBody, type WaysFrom } from "../actions/rounds";
import { Field } from "../components/field";
import { Options } from "../components/options";
import { ProblemNote } from "../components/problem-note";
import type { Problem } from "../domain/planter";
import { number, t, word } from "../i18n";
import type { CrewPartProps } from "./rounds-crew";
import { worded, wrongAt } from "./use-register";

/** All ways from one place, and how each is known. */
function Table({ from, onPick }: { from: WaysFrom; onPick: (id: string) => void }) {
  return (
    <table class="table table--rows num">
      <caption>{t("app.ways.table", { name: from.place.name })}</caption>
      <thead>
        <tr>
          <th scope="col">{t("app.ways.other")}</th>
          <th scope="col">{t("app.ways.metres")}</th>
          <th scope="col">{t("app.ways.how")}</th>
          <th scope="col">
            <span class="hidden-text">{t("app.ways.right")}</span>
          </th>
        </tr>
      </thead>
      <tbody>
        {from.ways.map((way) => (
          <tr key={way.other.id}>
            <th scope="row">{way.other.name}</th>
            <td>{t("app.ways.so_far", { metres: number(way.metres) })}</td>
            <td>{word("way_how", way.how)}</td>
            <td>
              <button type="button" class="btn" onClick={() => onPick(way.other.id)}>
                {t("app.ways.right")}
              </button>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Metres as paced out, pair by pair; what is not here is reckoned from the straight line. */
export function WaysPart({ crew, register, reload }: CrewPartProps) {
  const places = [
    ...crew.taps.map((tap) => ({ id: tap.id, name: tap.name })),
    ...register.planters.map((planter) => ({ id: planter.id, name: planter.name })),
  ];
  const names = new Map(places.map((place) => [place.id, place.name]));
  const [one, setOne] = useState("");
  const [other, setOther] = useState("");
  const [metres, setMetres] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const [from, setFrom] = useState<WaysFrom | null>(null);
  const pickOne = async (id: string) => {
    setOne(id);
    const answer = id ? await readWaysFrom(id) : null;
    setProblem(answer?.problem ? worded(answer.problem) : null);
    setFrom(answer?.value ?? null);
  };
  const put = async (way: WayBody) => {
    const answer = await putWays([way]);
    if (answer.problem) return setProblem(worded(answer.problem));
    setMetres("");
    await pickOne(one);
    await reload();
  };
  const place = (label: string, value: string, onPick: (id: string) => void, at: string) => (
    <Field label={label} wrong={wrongAt(problem, at)}>
      <select value={value} onChange={(e) => onPick(e.currentTarget.value)}>
        <option value="">{t("app.ways.which")}</option>
        <Options of={places} />
      </select>
    </Field>
  );
  return (
    <section class="stack">
      <p>{t("app.ways.why")}</p>
      <ul>
        {crew.ways.map((way) => (
          <li key={way.one + way.other} class="row row--wrap">
            <span>
              {t("app.ways.row", {
                one: names.get(way.one) ?? way.one,
                other: names.get(way.other) ?? way.other,
                metres: number(way.metres),
              })}
            </span>
            <button
              type="button"
              class="btn push"
              onClick={() => void put({ one: way.one, other: way.other, metres: null })}
            >
              {t("app.ways.reckon")}
            </button>
          </li>
        ))}
      </ul>
      <div class="form">
        {place(t("app.ways.one"), one, (id) => void pickOne(id), "/ways/0/one")}
        {place(t("app.ways.other"), other, setOther, "/ways/0/other")}
        <Field label={t("app.ways.metres")} wrong={wrongAt(problem, "/ways/0/metres")}>
          <input
            type="number"
            min={0}
            value={metres}
            onInput={(e) => setMetres(e.currentTarget.value)}
          />
        </Field>
      </div>
      {problem && <ProblemNote problem={problem} />}
      {one && other && metres && (
        <button
          type="button"
          class="btn"
          onClick={() => void put({ one, other, metres: Number(metres) })}
        >
          {t("app.ways.keep")}
        </button>
      )}
      {from && <Table from={from} onPick={setOther} />}
    </section>
  );
}
