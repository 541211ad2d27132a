import { useState } from "preact/hooks";
import { addSite, changeSite, putNights } from "../actions/register";
import { Field } from "../components/field";
import { PickRow } from "../components/pick-row";
import { ProblemNote } from "../components/problem-note";
import type { Night, Problem, RegisterSite } from "../domain/planter";
import { dayWords, t, temperature, today, word } from "../i18n";
import { type PartProps, worded } from "./use-register";

type Try = (work: Promise<{ problem?: Problem | undefined }>) => Promise<boolean>;

function Site({ site, attempt }: { site: RegisterSite; attempt: Try }) {
  const [freeze, setFreeze] = useState(site.freeze_on ?? "");
  return (
    <li class="form form--beside">
      <Field label={t("app.sites.one_freeze", { site: site.name })}>
        <input type="date" value={freeze} onInput={(e) => setFreeze(e.currentTarget.value)} />
      </Field>
      <button
        type="button"
        class="btn"
        disabled={freeze === (site.freeze_on ?? "")}
        onClick={() => void attempt(changeSite(site.id, { freeze_on: freeze || null }))}
      >
        {t("app.register.keep")}
      </button>
    </li>
  );
}

function NewSite({ attempt }: { attempt: Try }) {
  const [name, setName] = useState("");
  const add = async () => {
    if (await attempt(addSite(name.trim(), null))) setName("");
  };
  return (
    <div class="form form--beside">
      <Field label={t("app.sites.new")}>
        <input value={name} maxLength={80} onInput={(e) => setName(e.currentTarget.value)} />
      </Field>
      <button type="button" class="btn" disabled={!name.trim()} onClick={() => void add()}>
        {t("app.sites.add")}
      </button>
    </div>
  );
}

const KINDS: Night["kind"][] = ["recorded", "forecast"];

/** A low typed from the forecast or read off a thermometer: it drives the drain flags. */
function NewNight({ attempt }: { attempt: Try }) {
  const [date, setDate] = useState(today());
  const [low, setLow] = useState("");
  const [kind, setKind] = useState<Night["kind"]>("forecast");
  const keep = async () => {
    if (await attempt(putNights([{ date, low_c: Number(low), kind }]))) setLow("");
  };
  return (
    <div class="slab stack nights__new">
      <h3>{t("app.nights.add")}</h3>
      <Field label={t("app.nights.date")} hint={t("app.nights.date_hint")}>
        <input type="date" value={date} onInput={(e) => setDate(e.currentTarget.value)} />
      </Field>
      <Field label={t("app.nights.low")}>
        <input
          type="number"
          step="0.1"
          inputMode="decimal"
          value={low}
          onInput={(e) => setLow(e.currentTarget.value)}
        />
      </Field>
      <PickRow
        legend={t("app.nights.kind")}
        choices={KINDS.map((value) => ({ value, word: word("night_kind", value) }))}
        value={kind}
        onPick={(value) => setKind(value ?? kind)}
      />
      <button type="button" class="btn" disabled={low === ""} onClick={() => void keep()}>
        {t("app.nights.keep")}
      </button>
    </div>
  );
}

function Nights({ nights, attempt }: { nights: Night[]; attempt: Try }) {
  const newest = [...nights].sort((one, other) => other.date.localeCompare(one.date)).slice(0, 21);
  if (!newest.length) return null;
  return (
    <table class="table table--rows">
      <caption>{t("app.nights.typed")}</caption>
      <tbody>
        {newest.map((night) => (
          <tr key={`${night.date} ${night.kind}`}>
            <th scope="row">{dayWords(night.date)}</th>
            <td class="num">{temperature(night.low_c)}</td>
            <td>{word("night_kind", night.kind)}</td>
            <td class="table__acts">
              <button
                type="button"
                class="btn"
                onClick={() => void attempt(putNights([{ ...night, low_c: null }]))}
              >
                {t("app.nights.remove")}
              </button>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Sites with the date their first freeze is expected, and the nights that were typed in. */
export function SitesAndNights({ register, reload }: PartProps) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const attempt: Try = async (work) => {
    const answer = await work;
    setProblem(answer.problem ? worded(answer.problem) : null);
    await reload();
    return !answer.problem;
  };
  return (
    <>
      {problem && <ProblemNote problem={problem} />}
      <section class="stack">
        <h2>{t("app.sites.title")}</h2>
        <p class="soft">{t("app.sites.how")}</p>
        <ul class="stack">
          {register.sites.map((site) => (
            <Site key={`${site.id} ${site.version}`} site={site} attempt={attempt} />
          ))}
        </ul>
        <NewSite attempt={attempt} />
      </section>
      <section class="stack">
        <h2>{t("app.nights.title")}</h2>
        <NewNight attempt={attempt} />
        <Nights nights={register.nights} attempt={attempt} />
      </section>
    </>
  );
}
