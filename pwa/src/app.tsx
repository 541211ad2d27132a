/** Routes, and what stands over every screen: a new version, or a store that cannot be used. */

import { useEffect, useErrorBoundary, useMemo, useState } from "preact/hooks";
import { LocationProvider, Route, Router, useLocation } from "preact-iso";
import { StoreTrouble, Trouble, UpdateNote } from "./app-notes";
import type { Me } from "./domain/planter";
import { configure, preferredLanguage } from "./i18n";
import { CheckInScreen } from "./screens/check-in";
import { PlanterCourseScreen } from "./screens/course";
import { FreezeDatesScreen } from "./screens/freeze-dates";
import { JoinScreen } from "./screens/join";
import { NotFoundScreen } from "./screens/not-found";
import { OutboxScreen } from "./screens/outbox";
import { PeopleScreen } from "./screens/people";
import { PlantedScreen } from "./screens/planted";
import { PlanterScreen } from "./screens/planter";
import { PlantersScreen } from "./screens/planters";
import { PlantingScreen } from "./screens/planting";
import { PublicTagScreen } from "./screens/public-tag";
import { RegisterScreen } from "./screens/register";
import { ReportScreen } from "./screens/report";
import { ReportRecordsScreen } from "./screens/report-records";
import { ReviewScreen } from "./screens/review";
import { RoundScreen } from "./screens/round";
import { RoundsScreen } from "./screens/rounds";
import { SavedScreen } from "./screens/saved";
import { ScanScreen } from "./screens/scan";
import { SettingsScreen } from "./screens/settings";
import { SignInScreen } from "./screens/sign-in";
import { SitePlanScreen } from "./screens/siteplan";
import { StartScreen } from "./screens/start";
import { TagScreen } from "./screens/tag";
import { useStored } from "./screens/use-stored";
import { WelcomeScreen } from "./screens/welcome";
import { ListScreen } from "./screens/winter";
import { WinterBoardScreen } from "./screens/winter-board";
import { WinterPrintScreen } from "./screens/winter-print";
import { onChanged, type StoreHealth, storeHealth } from "./store/database";
import { readTown } from "./store/planters";
import { readSettings } from "./store/settings";
import { onPushOpened } from "./sw/opened";
import { applyTheme } from "./theme";

interface Params {
  id?: string;
  code?: string;
  record?: string;
  query?: Record<string, string>;
}

const Planter = ({ id = "" }: Params) => <PlanterScreen key={id} id={id} />;
const PlanterCourse = ({ id = "" }: Params) => <PlanterCourseScreen key={id} id={id} />;
const CheckIn = ({ id = "", query }: Params) => (
  <CheckInScreen
    key={id}
    id={id}
    correct={query?.correct}
    fixes={query?.fixes}
    round={query?.round}
  />
);
const Saved = ({ record = "" }: Params) => <SavedScreen key={record} record={record} />;
const Winter = ({ id = "" }: Params) => <ListScreen key={id} id={id} list="winterization" />;
const StartUp = ({ id = "" }: Params) => <ListScreen key={id} id={id} list="start-up" />;
const Planted = ({ id = "" }: Params) => <PlantedScreen key={id} id={id} />;
const MemberTag = ({ code = "" }: Params) => (
  <TagScreen
    key={code}
    code={code}
    show={(id, replaced) => <PlanterScreen key={id} id={id} replaced={replaced} />}
  />
);
const PublicTag = ({ code = "" }: Params) => <PublicTagScreen key={code} code={code} />;

/** After a change of screen, readers start at its head. The screen may first have to read the store. */
function focusHead(): void {
  let frames = 0;
  const look = () => {
    const head = document.querySelector("h1");
    frames += 1;
    if (head) {
      head.tabIndex = -1;
      head.focus({ preventScroll: true });
    } else if (frames < 30) {
      requestAnimationFrame(look);
    }
  };
  requestAnimationFrame(look);
}

/** What only a coordinator may open. */
const DESK = [
  <Route key="review" path="/review" component={ReviewScreen} />,
  <Route key="register" path="/register" component={RegisterScreen} />,
  <Route key="rounds" path="/rounds" component={RoundsScreen} />,
  <Route key="planting" path="/planting" component={PlantingScreen} />,
  <Route key="report" path="/report" component={ReportScreen} />,
  <Route key="behind" path="/report/records" component={ReportRecordsScreen} />,
  <Route key="people" path="/people" component={PeopleScreen} />,
];

/** What a member may open. */
function MemberRoutes({ me }: { me: Me }) {
  return (
    <Router onRouteChange={focusHead}>
      <Route path="/" component={PlantersScreen} />
      <Route path="/planters" component={PlantersScreen} />
      <Route path="/t/:code" component={MemberTag} />
      <Route path="/T/:code" component={MemberTag} />
      <Route path="/public/:code" component={PublicTag} />
      <Route path="/p/:id" component={Planter} />
      <Route path="/p/:id/history" component={PlanterCourse} />
      <Route path="/p/:id/check-in" component={CheckIn} />
      <Route path="/p/:id/winter" component={Winter} />
      <Route path="/p/:id/start-up" component={StartUp} />
      <Route path="/p/:id/planting" component={Planted} />
      <Route path="/saved/:record" component={Saved} />
      <Route path="/round" component={RoundScreen} />
      <Route path="/siteplan" component={SitePlanScreen} />
      <Route path="/scan" component={ScanScreen} />
      <Route path="/outbox" component={OutboxScreen} />
      <Route path="/settings" component={SettingsScreen} />
      <Route path="/join" component={JoinScreen} />
      <Route path="/welcome" component={WelcomeScreen} />
      <Route path="/sign-in" component={SignInScreen} />
      <Route path="/winter" component={WinterBoardScreen} />
      <Route path="/freeze" component={FreezeDatesScreen} />
      <Route path="/winter/print" component={WinterPrintScreen} />
      {me.person.role === "coordinator" ? DESK : []}
      <Route default component={NotFoundScreen} />
    </Router>
  );
}

/** What anybody may open. */
function PublicRoutes() {
  return (
    <Router onRouteChange={focusHead}>
      <Route path="/t/:code" component={PublicTag} />
      <Route path="/T/:code" component={PublicTag} />
      <Route path="/public/:code" component={PublicTag} />
      <Route path="/join" component={JoinScreen} />
      <Route path="/sign-in" component={SignInScreen} />
      <Route path="/outbox" component={OutboxScreen} />
      <Route path="/settings" component={SettingsScreen} />
      <Route default component={StartScreen} />
    </Router>
  );
}

function useHealth(): StoreHealth {
  const [health, setHealth] = useState(storeHealth());
  useEffect(() => onChanged(() => setHealth(storeHealth())), []);
  return health;
}

/** Reads the settings once more whenever they change; null when there is no usable store. */
function useSession() {
  return useStored(["settings", "town"], async () => {
    try {
      const [settings, town] = await Promise.all([readSettings(), readTown()]);
      return { settings, town };
    } catch {
      return null;
    }
  });
}

/** A push that was tapped opens its screen in the app that is open already. */
function PushOpener() {
  const { route } = useLocation();
  useEffect(() => onPushOpened(route), [route]);
  return null;
}

/** The whole app. */
export function App() {
  const session = useSession();
  const health = useHealth();
  const [error, reset] = useErrorBoundary();
  const how = useMemo(
    () =>
      session && {
        language: session.settings.language || preferredLanguage(),
        units: session.settings.units ?? session.town?.units ?? "metric",
        zone: session.town?.zone ?? Intl.DateTimeFormat().resolvedOptions().timeZone,
        theme: session.settings.theme,
      },
    [session],
  );
  // Not the zone: it comes with the first cards, and a form being typed in must not start anew.
  const wording = how ? `${how.language} ${how.units}` : "";
  useEffect(() => {
    if (how) applyTheme(how.theme);
    if (how) document.documentElement.lang = how.language;
  }, [how]);

  if (health !== "open") return <StoreTrouble health={health} />;
  if (session === null) return <StoreTrouble health="none" />;
  if (!session || !how) return null;
  configure({ ...how, clock_offset_ms: session.settings.clock_offset_ms });
  if (error) return <Trouble onAgain={reset} />;
  const { me } = session.settings;
  return (
    <LocationProvider scope={/^\/(?!api\/|licences\/)/}>
      <UpdateNote />
      <PushOpener />
      {/* Another language or another unit words every screen anew. */}
      <div key={wording}>{me ? <MemberRoutes me={me} /> : <PublicRoutes />}</div>
    </LocationProvider>
  );
}
