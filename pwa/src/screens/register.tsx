import { useLocation } from "preact-iso";
import { PartsNav } from "../components/parts-nav";
import { ProblemNote } from "../components/problem-note";
import { t } from "../i18n";
import { Desk } from "./desk";
import { AddPlanters } from "./register-add";
import { Assets } from "./register-assets";
import { Changes } from "./register-changes";
import { FeedPart } from "./register-feed";
import { Files } from "./register-files";
import { ImportPlanters } from "./register-import";
import { Lists } from "./register-lists";
import { MaterialsPart } from "./register-materials";
import { WhereItStands } from "./register-place";
import { EditPlanter } from "./register-planter";
import { PlanterTable } from "./register-planters";
import { Schemes } from "./register-schemes";
import { SeasonsPart } from "./register-seasons";
import { SitePlansPart } from "./register-siteplans";
import { SitesAndNights } from "./register-sites";
import { Sizes } from "./register-sizes";
import { Tags } from "./register-tags";
import { TownSettings } from "./register-town";
import { WeatherPart } from "./register-weather";
import { usePlanRegister } from "./use-plan";
import { type PartProps, useRegister } from "./use-register";

const PARTS = [
  "planters",
  "add",
  "import",
  "files",
  "tags",
  "sites",
  "siteplans",
  "lists",
  "seasons",
  "weather",
  "feed",
  "sizes",
  "schemes",
  "materials",
  "assets",
  "town",
  "changes",
] as const;
type Part = (typeof PARTS)[number];

/** Parts of one planter's sheet that have an address of their own. */
const PLACE = "place";

/** The parts of planting day, which are read from an address of their own. */
const OF_PLAN = {
  sizes: Sizes,
  schemes: Schemes,
  materials: MaterialsPart,
  assets: Assets,
};

function PlanPart({ part, register, reload }: PartProps & { part: keyof typeof OF_PLAN }) {
  const read = usePlanRegister();
  const Chosen = OF_PLAN[part];
  const both = async () => {
    await Promise.all([read.reload(), reload()]);
  };
  return (
    <>
      {read.problem && <ProblemNote problem={read.problem} />}
      {read.plan && <Chosen plan={read.plan} register={register} reload={both} />}
    </>
  );
}

function Body(props: PartProps & { part: Part; planter: string | undefined; place: boolean }) {
  const { part, planter, register, reload } = props;
  const chosen = register.planters.find((one) => one.id === planter);
  if (chosen && props.place)
    return <WhereItStands key={chosen.id} planter={chosen} register={register} reload={reload} />;
  if (chosen)
    return <EditPlanter key={chosen.id} planter={chosen} register={register} reload={reload} />;
  switch (part) {
    case "planters":
      return <PlanterTable register={register} />;
    case "add":
      return <AddPlanters register={register} reload={reload} />;
    case "import":
      return <ImportPlanters reload={reload} />;
    case "files":
      return <Files reload={reload} />;
    case "tags":
      return <Tags register={register} reload={reload} />;
    case "sites":
      return <SitesAndNights register={register} reload={reload} />;
    case "siteplans":
      return <SitePlansPart register={register} reload={reload} />;
    case "lists":
      return <Lists register={register} reload={reload} />;
    case "seasons":
      return <SeasonsPart />;
    case "weather":
      return <WeatherPart register={register} reload={reload} />;
    case "feed":
      return <FeedPart register={register} reload={reload} />;
    case "sizes":
    case "schemes":
    case "materials":
    case "assets":
      return <PlanPart part={part} register={register} reload={reload} />;
    case "town":
      return <TownSettings register={register} reload={reload} />;
    case "changes":
      return <Changes register={register} />;
  }
}

/** The register: sites, planters, plantings, tags, nights, the town. Each part has its address. */
export function RegisterScreen() {
  const { query } = useLocation();
  const { register, problem, reload } = useRegister();
  const part = PARTS.find((one) => one === query.part) ?? "planters";
  const planter = query.planter;
  return (
    <Desk current="register" title={t("app.register.title")}>
      <PartsNav
        label={t("app.register.parts")}
        entry={t("app.desk.part")}
        parts={[
          ...PARTS.map((one) => ({
            href: `/register?part=${one}`,
            word: t(`app.register.part_${one}`),
            current: one === part && !planter,
          })),
          { href: "/planting", word: t("app.plan.title") },
          { href: "/report", word: t("app.seasonreport.title") },
        ]}
      />
      {problem && <ProblemNote problem={problem} />}
      {register && (
        <Body
          part={part}
          planter={planter}
          place={query.part === PLACE}
          register={register}
          reload={reload}
        />
      )}
    </Desk>
  );
}
