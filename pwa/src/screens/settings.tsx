/** This phone's settings: how it speaks, counts and looks, what it may keep, and signing out. */

import { useEffect, useState } from "preact/hooks";
import { Facts } from "../components/facts";
import { type Choice, PickRow } from "../components/pick-row";
import { Rim } from "../components/rim";
import { clock, languages, t, word } from "../i18n";
import { readTown } from "../store/planters";
import {
  readSettings,
  type Settings,
  type Theme,
  type Units,
  writeSettings,
} from "../store/settings";
import { InstallHint } from "./install-hint";
import { PushSwitch } from "./push-switch";
import { SignOut } from "./sign-out";
import { useSignal } from "./use-frame";
import { useStored } from "./use-stored";

function languageName(code: string): string {
  return new Intl.DisplayNames([code], { type: "language" }).of(code) ?? code;
}

function Speech({ settings, townUnits }: { settings: Settings; townUnits: Units }) {
  const known = languages();
  const units: Choice<Units>[] = [
    { value: "metric", word: t("app.settings.metric") },
    { value: "us", word: t("app.settings.us") },
  ];
  const themes: Choice<Theme>[] = [
    { value: "light", word: t("app.settings.light") },
    { value: "dark", word: t("app.settings.dark") },
    { value: "phone", word: t("app.settings.as_phone") },
  ];
  return (
    <>
      {known.length > 1 && (
        <label class="line">
          <span>{t("app.settings.language")}</span>
          <select
            value={settings.language}
            onChange={(event) => void writeSettings({ language: event.currentTarget.value })}
          >
            <option value="">{t("app.settings.as_phone")}</option>
            {known.map((code) => (
              <option key={code} value={code}>
                {languageName(code)}
              </option>
            ))}
          </select>
        </label>
      )}
      <PickRow
        legend={t("app.settings.units")}
        choices={units}
        value={settings.units ?? townUnits}
        onPick={(value) => void writeSettings({ units: value })}
      />
      <PickRow
        legend={t("app.settings.theme")}
        choices={themes}
        cols={3}
        value={settings.theme}
        onPick={(value) => void writeSettings({ theme: value ?? "light" })}
      />
      <p class="small soft">{t("app.settings.theme_why")}</p>
    </>
  );
}

function PhoneName({ settings }: { settings: Settings }) {
  return (
    <label class="line">
      <span>{t("app.settings.phone_name")}</span>
      <input
        value={settings.phone_name}
        maxLength={40}
        autocomplete="off"
        onChange={(event) => void writeSettings({ phone_name: event.currentTarget.value.trim() })}
      />
      <span class="line__hint">{t("app.settings.phone_name_hint")}</span>
    </label>
  );
}

/** Whether the browser promised to keep our storage, and asking it to. Both answers occur (F21). */
function Keeping() {
  const [kept, setKept] = useState<boolean | null>(null);
  const [asked, setAsked] = useState(false);
  useEffect(() => {
    void navigator.storage?.persisted?.().then(setKept);
  }, []);
  const askIt = async () => {
    setKept((await navigator.storage?.persist?.()) ?? false);
    setAsked(true);
  };
  const words = kept === null ? "unknown" : kept ? "kept" : asked ? "refused" : "not_kept";
  return (
    <section class="stack">
      <h2>{t("app.settings.storage")}</h2>
      <p>{t(`app.settings.storage_${words}`)}</p>
      {kept === false && !asked && (
        <button type="button" class="btn" onClick={() => void askIt()}>
          {t("app.settings.storage_ask")}
        </button>
      )}
    </section>
  );
}

/** The settings. */
export function SettingsScreen() {
  const signal = useSignal();
  const found = useStored(["settings", "town"], async () => {
    const [settings, town] = await Promise.all([readSettings(), readTown()]);
    return { settings, town };
  });
  if (!found) return null;
  const { settings, town } = found;
  return (
    <div class="field">
      <Rim title={t("app.settings.title")} back="/">
        {signal}
      </Rim>
      <main>
        {settings.me && (
          <Facts
            facts={[
              [t("app.settings.person"), settings.me.person.name],
              [t("app.settings.role"), word("role", settings.me.person.role)],
              [t("app.settings.town"), town?.name],
              [
                t("app.settings.last_answer"),
                settings.last_answer ? clock(settings.last_answer) : t("app.settings.never"),
              ],
              [t("app.settings.version"), __VERSION__],
            ]}
          />
        )}
        <Speech settings={settings} townUnits={town?.units ?? "metric"} />
        {settings.me && <PhoneName settings={settings} />}
        {settings.me && <Keeping />}
        {settings.me && (
          <PushSwitch
            me={settings.me}
            pushFor={settings.push_for}
            pushKey={town?.push_key ?? null}
          />
        )}
        {settings.me && <InstallHint />}
        {settings.me && <SignOut me={settings.me} />}
      </main>
    </div>
  );
}
