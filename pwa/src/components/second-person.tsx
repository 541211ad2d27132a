import { useId, useState } from "preact/hooks";
import { t } from "../i18n";

const OTHER = "\u0000other";

/** Who saw it too: chosen from the town's people, or a name typed. */
export function SecondPerson(props: {
  people: string[];
  value: string;
  onChange: (name: string) => void;
}) {
  const { people, value, onChange } = props;
  const id = useId();
  const [typing, setTyping] = useState(value !== "" && !people.includes(value));
  return (
    <div class="line">
      <label for={id}>{t("app.second.legend")}</label>
      <select
        id={id}
        value={typing ? OTHER : value}
        onChange={(event) => {
          const picked = event.currentTarget.value;
          setTyping(picked === OTHER);
          onChange(picked === OTHER ? "" : picked);
        }}
      >
        <option value="">{t("app.second.nobody")}</option>
        {people.map((name) => (
          <option key={name} value={name}>
            {name}
          </option>
        ))}
        <option value={OTHER}>{t("app.second.other")}</option>
      </select>
      {typing && (
        <input
          type="text"
          maxLength={80}
          aria-label={t("app.second.name")}
          placeholder={t("app.second.name")}
          value={value}
          onInput={(event) => onChange(event.currentTarget.value)}
        />
      )}
    </div>
  );
}
