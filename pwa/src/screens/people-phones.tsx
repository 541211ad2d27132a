import { useState } from "preact/hooks";
import { burnPhone, endPhone } from "../actions/register";
import type { Problem, Register, RegisterPhone } from "../domain/planter";
import { since, t, word } from "../i18n";

type Try = (work: Promise<{ problem?: Problem | undefined }>) => Promise<boolean>;

/** One phone; burning asks once more, because what it still carries can then never be sent. */
function PhoneRow({ phone, attempt }: { phone: RegisterPhone; attempt: Try }) {
  const [sure, setSure] = useState(false);
  return (
    <tr>
      <th scope="row">{phone.name}</th>
      <td>{word("phone_state", phone.state)}</td>
      <td>{t("app.people.last_used", { since: since(phone.last_used) })}</td>
      <td class="table__acts">
        {sure && phone.state !== "burned" && <p class="small">{t("app.people.burn_what")}</p>}
        <div class="row row--wrap">
          {phone.state === "active" && (
            <button type="button" class="btn" onClick={() => void attempt(endPhone(phone.id))}>
              {t("app.people.end_phone")}
            </button>
          )}
          {phone.state !== "burned" && !sure && (
            <button type="button" class="btn" onClick={() => setSure(true)}>
              {t("app.people.burn_phone")}
            </button>
          )}
          {sure && phone.state !== "burned" && (
            <button
              type="button"
              class="btn btn--need"
              onClick={() => void attempt(burnPhone(phone.id)).then(() => setSure(false))}
            >
              {t("app.people.burn_sure")}
            </button>
          )}
        </div>
      </td>
    </tr>
  );
}

/** Every phone that joined, the last used first: end one that left, burn one that is lost. */
export function Phones({ register, attempt }: { register: Register; attempt: Try }) {
  const phones = [...register.phones].sort((one, other) =>
    other.last_used.localeCompare(one.last_used),
  );
  return (
    <section class="group">
      <div class="group__head">
        <h2>{t("app.people.phones")}</h2>
        <span>{t("app.people.phones_what")}</span>
      </div>
      <table class="table table--rows">
        <tbody>
          {phones.map((phone) => (
            <PhoneRow key={phone.id} phone={phone} attempt={attempt} />
          ))}
        </tbody>
      </table>
    </section>
  );
}
