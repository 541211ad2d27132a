export type PotletKind = "level" | "unknown" | "draining" | "unproven" | "proven";

export interface PotletProps {
  kind?: PotletKind;
  level?: number | null;
  /** Dashed wall: nothing here is confirmed yet. */
  dashed?: boolean;
}

const WALL = "M7 12L10.4 34Q10.7 36 13 36H27Q29.3 36 29.6 34L33 12";

/** Water in the small pot, drawn inside its slanted walls. */
function Water({ level }: { level: number }) {
  const y = 35 - level * 21;
  const inset = 7 + ((y - 12) / 22) * 3.3;
  return (
    <>
      <path
        class="d-water"
        d={`M${inset} ${y}H${40 - inset}L29.6 34Q29.3 35.5 27 35.5H13Q10.7 35.5 10.4 34Z`}
      />
      <path class="d-surface d-surface--thin" d={`M${inset} ${y}H${40 - inset}`} />
    </>
  );
}

/** The planter at 40 px: rim, water, and one sign. Decoration; a word stands beside it. */
export function Potlet({ kind = "level", level = null, dashed = false }: PotletProps) {
  const water = kind === "level" || kind === "draining" ? level : null;
  const open = dashed || kind === "unproven" || kind === "unknown";
  return (
    <svg class="potlet" viewBox="0 0 40 40" aria-hidden="true">
      <path class="d-shell" d={`${WALL}Z`} />
      {water !== null && water > 0 && <Water level={water} />}
      <path class={`d-ink d-thin${open ? " d-dash--fine" : ""}`} d={WALL} />
      <rect class="d-rim" x="4" y="7" width="32" height="6" rx="1.5" />
      {kind === "draining" && (
        <path class="d-drop" d="M34 31.6Q37.9 38.6 34 38.6Q30.1 38.6 34 31.6Z" />
      )}
      {kind === "proven" && <path class="d-ink d-thick" d="M14 23l4.5 5L26.5 18" />}
      {(kind === "unproven" || (kind !== "proven" && kind !== "draining" && level === null)) && (
        <text class="d-text" x="20" y="30" text-anchor="middle">
          ?
        </text>
      )}
    </svg>
  );
}
