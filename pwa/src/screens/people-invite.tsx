import { useState } from "preact/hooks";
import { makeInvite } from "../actions/register";
import { Field } from "../components/field";
import { PickRow } from "../components/pick-row";
import { ProblemNote } from "../components/problem-note";
import { QrPicture } from "../components/qr-picture";
import type { Invite, Problem, RegisterPerson } from "../domain/planter";
import { dayWords, t, word } from "../i18n";
import { worded } from "./use-register";

type Role = RegisterPerson["role"];
const ROLES: Role[] = ["volunteer", "coordinator"];

function Made({ invite, onNext }: { invite: Invite; onNext: () => void }) {
  const [copied, setCopied] = useState(false);
  const copy = async () => {
    await navigator.clipboard.writeText(invite.url);
    setCopied(true);
  };
  return (
    <>
      <h2>{t("app.invite.made")}</h2>
      <p>{t("app.invite.scan_it")}</p>
      <QrPicture rows={invite.qr} label={t("app.invite.qr")} />
      <p class="small">{t("app.invite.once", { day: dayWords(invite.expires_at) })}</p>
      <label class="line">
        <span>{t("app.invite.link")}</span>
        <input readOnly value={invite.url} onFocus={(e) => e.currentTarget.select()} />
      </label>
      <div class="kerb__pair">
        <button type="button" class="btn" onClick={() => void copy()}>
          {copied ? t("app.invite.copied") : t("app.invite.copy")}
        </button>
        <button type="button" class="btn" onClick={onNext}>
          {t("app.invite.another")}
        </button>
      </div>
    </>
  );
}

/** Makes an invite; link and QR code are on the screen this once. */
export function NewInvite(props: { people: RegisterPerson[]; onMade: () => Promise<void> }) {
  const [role, setRole] = useState<Role>("volunteer");
  const [name, setName] = useState("");
  const [invite, setInvite] = useState<Invite | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const known = props.people.find((person) => person.name === name.trim());
  const make = async () => {
    const answer = await makeInvite(role, name.trim(), known?.id ?? null);
    setProblem(answer.problem ? worded(answer.problem) : null);
    if (answer.value) {
      setInvite(answer.value);
      await props.onMade();
    }
  };
  return (
    <section class="pot stack">
      {invite ? (
        <Made
          invite={invite}
          onNext={() => {
            setInvite(null);
            setName("");
          }}
        />
      ) : (
        <>
          <h2>{t("app.invite.title")}</h2>
          <Field label={t("app.invite.name")} hint={known ? t("app.invite.again") : undefined}>
            <input value={name} maxLength={80} onInput={(e) => setName(e.currentTarget.value)} />
          </Field>
          <PickRow
            legend={t("app.invite.role")}
            choices={ROLES.map((value) => ({ value, word: word("role", value) }))}
            value={role}
            onPick={(value) => setRole(value ?? role)}
          />
          {problem && <ProblemNote problem={problem} />}
          <button type="button" class="act" onClick={() => void make()}>
            {t("app.invite.make")}
          </button>
        </>
      )}
    </section>
  );
}
