import { useState } from "preact/hooks";
import { changePerson, revokeInvite } from "../actions/register";
import { Chooser, SearchBox } from "../components/list-tools";
import { ProblemNote } from "../components/problem-note";
import type { Problem, Register, RegisterPerson } from "../domain/planter";
import { dayWords, t, tn, when, word } from "../i18n";
import { Desk } from "./desk";
import { NewInvite } from "./people-invite";
import { Phones } from "./people-phones";
import { useQuery, useTyped } from "./use-query";
import { useRegister, worded } from "./use-register";

type Try = (work: Promise<{ problem?: Problem | undefined }>) => Promise<boolean>;

/** One person; that somebody has left asks once more, because it signs their phones out. */
function PersonRow(props: { person: RegisterPerson; phones: number; attempt: Try }) {
  const { person, phones, attempt } = props;
  const [sure, setSure] = useState(false);
  const active = person.state === "active";
  const turn = () =>
    void attempt(changePerson(person.id, { state: active ? "ended" : "active" })).then(() =>
      setSure(false),
    );
  return (
    <tr>
      <th scope="row">{person.name}</th>
      <td>{word("role", person.role)}</td>
      <td>{active ? tn("app.people.phones_of", phones) : t("app.people.left")}</td>
      <td class="table__acts">
        {!active && (
          <button type="button" class="btn" onClick={turn}>
            {t("app.people.back")}
          </button>
        )}
        {active && !sure && (
          <button type="button" class="btn" onClick={() => setSure(true)}>
            {t("app.people.end_ask")}
          </button>
        )}
        {active && sure && (
          <div class="stack">
            <p class="small">{t("app.people.end_what")}</p>
            <div class="row row--wrap">
              <button type="button" class="btn btn--need" onClick={turn}>
                {t("app.people.end_sure")}
              </button>
              <button type="button" class="btn" onClick={() => setSure(false)}>
                {t("app.people.leave_it")}
              </button>
            </div>
          </div>
        )}
      </td>
    </tr>
  );
}

const USUAL = { search: "", role: "", state: "" };

function People({ register, attempt }: { register: Register; attempt: Try }) {
  const [asked, change] = useQuery(USUAL);
  const [typed, setTyped] = useTyped(asked.search, (search) => change({ search }));
  const shown = register.people.filter(
    (one) =>
      one.name.toLowerCase().includes(typed.trim().toLowerCase()) &&
      (!asked.role || one.role === asked.role) &&
      (!asked.state || one.state === asked.state),
  );
  return (
    <section class="group">
      <div class="group__head">
        <h2>{t("app.people.people")}</h2>
        <span>{tn("app.people.count", shown.length)}</span>
      </div>
      <div class="stack list-tools">
        <SearchBox label={t("app.people.find")} value={typed} onType={setTyped} />
        <div class="list-tools__row">
          <Chooser
            label={t("app.people.role")}
            value={asked.role}
            choices={[
              { value: "", word: t("app.people.any_role") },
              ...["volunteer", "coordinator"].map((value) => ({
                value,
                word: word("role", value),
              })),
            ]}
            onChoose={(role) => change({ role })}
          />
          <Chooser
            label={t("app.people.state")}
            value={asked.state}
            choices={[
              { value: "", word: t("app.people.any_state") },
              { value: "active", word: t("app.people.active") },
              { value: "ended", word: t("app.people.left") },
            ]}
            onChoose={(state) => change({ state })}
          />
        </div>
      </div>
      <table class="table table--rows">
        <tbody>
          {shown.map((person) => (
            <PersonRow
              key={person.id}
              person={person}
              phones={
                register.phones.filter(
                  (phone) => phone.person === person.id && phone.state === "active",
                ).length
              }
              attempt={attempt}
            />
          ))}
        </tbody>
      </table>
    </section>
  );
}

function OpenInvites({ register, attempt }: { register: Register; attempt: Try }) {
  const open = register.invites.filter((invite) => invite.state === "open");
  if (!open.length) return null;
  return (
    <section class="group">
      <div class="group__head">
        <h2>{t("app.people.open_invites")}</h2>
      </div>
      <ul>
        {open.map((invite) => (
          <li key={invite.id} class="invite">
            <span class="stack stack--close">
              <b>{invite.name || word("role", invite.role)}</b>
              <span class="small soft">
                {t("app.people.good_until", {
                  day: dayWords(invite.expires_at),
                  made: when(invite.made_at),
                })}
              </span>
            </span>
            <button type="button" class="btn" onClick={() => void attempt(revokeInvite(invite.id))}>
              {t("app.people.revoke")}
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Who looks after the planters, their phones, and how a new volunteer joins. */
export function PeopleScreen() {
  const { register, problem, reload } = useRegister();
  const [refused, setRefused] = useState<Problem | null>(null);
  const attempt: Try = async (work) => {
    const answer = await work;
    setRefused(answer.problem ? worded(answer.problem) : null);
    await reload();
    return !answer.problem;
  };
  const shown = refused ?? problem;
  return (
    <Desk
      current="people"
      title={t("app.people.title")}
      aside={register && <NewInvite people={register.people} onMade={reload} />}
    >
      {shown && <ProblemNote problem={shown} />}
      {register && (
        <>
          <OpenInvites register={register} attempt={attempt} />
          <People register={register} attempt={attempt} />
          <Phones register={register} attempt={attempt} />
        </>
      )}
    </Desk>
  );
}
