import type { OpenSeason } from "../actions/seasons";
import { t, tn, when, word } from "../i18n";

function Left(props: { title: string; lines: string[] }) {
  if (!props.lines.length) return null;
  return (
    <details class="fold" open={props.lines.length <= 6}>
      <summary>{props.title}</summary>
      <div>
        <ul class="left-open">
          {props.lines.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      </div>
    </details>
  );
}

/** What a season still has open, in words: each a thing a person can go and do. */
export function LeftOpen({
  season,
}: {
  season: Pick<OpenSeason, "unproven" | "flags" | "phones" | "held">;
}) {
  const { unproven, flags, phones, held } = season;
  return (
    <>
      <Left
        title={tn("app.seasons.unproven", unproven.length)}
        lines={unproven.map((one) =>
          [`${one.name}: ${word("season_state", one.state)}`, one.missing.join(", ")]
            .filter(Boolean)
            .join(". "),
        )}
      />
      <Left
        title={tn("app.seasons.flags", flags.length)}
        lines={flags.map((one) => `${one.name}: ${one.flag}`)}
      />
      <Left
        title={tn("app.seasons.phones", phones.length)}
        lines={phones.map((one) =>
          [
            t("app.seasons.heard", { person: one.person, when: when(one.last_heard) }),
            one.gaps ? tn("app.seasons.gaps", one.gaps) : "",
          ]
            .filter(Boolean)
            .join(". "),
        )}
      />
      <Left
        title={tn("app.seasons.held", held.length)}
        lines={held.map((one) => `${when(one.at)}: ${word("held_reason", one.reason)}`)}
      />
    </>
  );
}
