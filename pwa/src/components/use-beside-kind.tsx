import type { UseBesideKind } from "../domain/planter-course";
import { dayWords, number, t, volume, volumeNumber, word } from "../i18n";

const NBSP = "\u00a0";
/** Room for the bars, out of a hundred. */
const FULL = 100;

function share(litres: number, most: number): string {
  return `${((FULL * litres) / most).toFixed(1)}%`;
}

function sentence({ own_l_day, percent, as_of }: UseBesideKind): string {
  const litres = volume(own_l_day.mid ?? 0);
  const range =
    own_l_day.low === null || own_l_day.high === null
      ? ""
      : t("app.course.use_range", {
          low: volumeNumber(own_l_day.low),
          high: volume(own_l_day.high),
        });
  const beside =
    percent === null
      ? t("app.course.use_no_peers")
      : percent === 0
        ? t("app.course.use_like")
        : t(percent > 0 ? "app.course.use_above" : "app.course.use_below", {
            percent: `${number(Math.abs(percent))}${NBSP}%`,
          });
  return `${t("app.course.use_own", { litres, range, day: dayWords(as_of, true) })} ${beside}`;
}

/** Litres a day beside what a planter like it would use, as two bars that say their figure. */
export function UsePicture({ use }: { use: UseBesideKind }) {
  const own = use.own_l_day.mid ?? 0;
  const kind = use.kind_l_day;
  const most = Math.max(own, kind ?? 0, use.own_l_day.high ?? 0) || 1;
  const bars = [
    { key: "own", name: t("app.course.use_this"), litres: own },
    ...(kind === null ? [] : [{ key: "kind", name: t("app.course.use_kind"), litres: kind }]),
  ];
  return (
    <div class="use stack stack--close">
      <p>
        {sentence(use)} <span class="soft">{word("sure", use.sure)}</span>
      </p>
      <div class="use__bars" aria-hidden="true">
        {bars.map((bar) => (
          <div key={bar.key} class="use__bar">
            <span>{bar.name}</span>
            <span class="use__track">
              <span
                class={`use__water use__water--${bar.key}`}
                style={{ width: share(bar.litres, most) }}
              />
              {bar.key === "own" && use.own_l_day.low !== null && use.own_l_day.high !== null && (
                <span
                  class="use__range"
                  style={{
                    left: share(use.own_l_day.low, most),
                    width: share(use.own_l_day.high - use.own_l_day.low, most),
                  }}
                />
              )}
            </span>
            <b class="num">{volume(bar.litres)}</b>
          </div>
        ))}
      </div>
    </div>
  );
}
