import type { ComponentChildren } from "preact";

function Leaf(props: { kind: "leaf" | "dry"; w: number; h: number; at: string; turn: number }) {
  const { kind, w, h, at, turn } = props;
  return (
    <path
      class={kind === "leaf" ? "d-leaf" : "d-dry"}
      d={`M0 0Q${w / 2} -${h} ${w} 0Q${w / 2} ${h} 0 0Z`}
      transform={`translate(${at})rotate(${turn})`}
    />
  );
}

/** A pair of leaves that mirror each other at one height of the stem. */
function Pair(props: { w: number; h: number; at: string; turn: number }) {
  const { w, h, at, turn } = props;
  return (
    <>
      <Leaf kind="leaf" w={w} h={h} at={at} turn={turn} />
      <Leaf kind="leaf" w={w} h={h} at={at} turn={180 - turn} />
    </>
  );
}

const PETALS = [18, 90, 162, 234, 306].map((degrees) => (degrees * Math.PI) / 180);

function Flower({ x, y, reach }: { x: number; y: number; reach: number }) {
  return (
    <>
      {PETALS.map((angle) => (
        <circle
          key={angle}
          class="d-bloom"
          cx={x + reach * Math.cos(angle)}
          cy={y + reach * Math.sin(angle)}
          r={reach * 0.78}
        />
      ))}
      <circle class="d-heart" cx={x} cy={y} r={reach * 0.6} />
    </>
  );
}

const GONE = (
  <>
    <path class="d-drystem" d="M30 74L28 58L33 54M35 71L58 66" />
    <Leaf kind="dry" w={12} h={3} at="44 68" turn={-150} />
    <Leaf kind="dry" w={11} h={3} at="50 67" turn={20} />
    <Leaf kind="dry" w={14} h={3} at="24 73" turn={190} />
  </>
);
const FAILING = (
  <>
    <path class="d-drystem" d="M32 74Q30 40 42 38Q54 38 53 56" />
    <Leaf kind="dry" w={16} h={4} at="31 62" turn={76} />
    <Leaf kind="dry" w={20} h={4} at="32 54" turn={112} />
    <Leaf kind="dry" w={17} h={4} at="36 42" turn={100} />
    <circle class="d-dry" cx="53" cy="60" r="6" />
  </>
);
const STRESSED = (
  <>
    <path class="d-stem" d="M32 74Q31 48 38 34Q41 29 46 32" />
    <Pair w={22} h={7} at="32 66" turn={34} />
    <Leaf kind="leaf" w={18} h={6} at="33 50" turn={48} />
    <Leaf kind="leaf" w={18} h={6} at="33 50" turn={138} />
    <Flower x={47} y={37} reach={6} />
  </>
);
const GOOD = (
  <>
    <path class="d-stem" d="M32 74V30" />
    <Pair w={24} h={8} at="32 68" turn={-14} />
    <Pair w={19} h={8} at="32 50" turn={-28} />
    <Flower x={32} y={24} reach={7.15} />
  </>
);
const THRIVING = (
  <>
    <path class="d-stem" d="M32 74V24M32 58Q20 50 14 38M32 58Q44 50 50 38" />
    <Pair w={24} h={9} at="32 68" turn={-22} />
    <Pair w={20} h={9} at="32 54" turn={-40} />
    <Pair w={17} h={9} at="32 40" turn={-52} />
    <Flower x={32} y={17} reach={8} />
    <Flower x={13} y={33} reach={5.6} />
    <Flower x={51} y={33} reach={5.6} />
  </>
);

const POSTURES: Record<number, ComponentChildren> = {
  1: GONE,
  2: FAILING,
  3: STRESSED,
  4: GOOD,
  5: THRIVING,
};

/** The plant of a health score in a box of 64 by 80: the five differ in outline, so they read in grey. */
export function PostureShape({ score }: { score: number }) {
  return <g>{POSTURES[score] ?? GOOD}</g>;
}

/** One posture as a picture of its own. */
export function Posture({ score }: { score: number }) {
  return (
    <svg viewBox="0 0 64 80" aria-hidden="true">
      <PostureShape score={score} />
      <path class="d-ground" d="M2 75H62" />
    </svg>
  );
}

/** Leaves that hang over a planter's rim; mirrored for the other side. */
export function Trailing({ at, mirror = false }: { at: string; mirror?: boolean }) {
  const leaves: [string, number][] = [
    ["15 10", 160],
    ["9 22", 110],
    ["7 34", 60],
    ["6 46", 10],
  ];
  return (
    <g transform={`translate(${at})${mirror ? "translate(48 0)scale(-1 1)" : ""}`}>
      <path class="d-stem" d="M24 10q-12 -4 -16 14t-2 26" />
      {leaves.map(([place, turn]) => (
        <Leaf key={place} kind="leaf" w={11} h={4.5} at={place} turn={turn} />
      ))}
    </g>
  );
}
