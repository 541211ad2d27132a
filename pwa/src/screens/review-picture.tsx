import { Posture } from "../components/posture";
import { Potlet, type PotletKind } from "../components/potlet";
import type { PlanterCard } from "../domain/planter";
import type { ReviewCase } from "../domain/review";
import { t, when } from "../i18n";
import { PhotoThumb } from "./photo-thumb";

/** Flags one judges by the plants, and those one judges by how far the drain is. */
const OF_PLANTS = ["stressed_plants", "falling_health", "full_but_wilting"];
const OF_WINTER = ["drain_not_pulled", "drained_unproven", "standing_water"];
const WINTER: Record<string, PotletKind> = {
  "under-way": "draining",
  unproven: "unproven",
  proven: "proven",
};

function Pot({ planter, code }: { planter: PlanterCard; code: string }) {
  const level = planter.state.level?.value ?? null;
  const kind = OF_WINTER.includes(code) ? WINTER[planter.lists.winterization.state] : undefined;
  return <Potlet kind={kind ?? "level"} level={level} dashed={level === null} />;
}

/** One small picture of what a flag rests on: the photo taken, else the plants, else the pot. */
export function CasePicture({ one }: { one: ReviewCase }) {
  const { planter, flag, evidence } = one;
  const shown = evidence.find((visit) =>
    visit.photos.some((sha) => visit.photo_state[sha] === "here"),
  );
  const sha = shown?.photos.find((photo) => shown.photo_state[photo] === "here");
  if (shown && sha) {
    const alt = t("app.photo.of", { planter: planter.name, day: when(shown.at) });
    return <PhotoThumb sha={sha} alt={alt} />;
  }
  const { plants } = planter.state;
  if (plants && OF_PLANTS.includes(flag.code)) return <Posture score={plants.score} />;
  return <Pot planter={planter} code={flag.code} />;
}
