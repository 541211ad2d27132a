import { Stake } from "../components/stake";
import {
  type ActGroup,
  casesOf,
  countPlanters,
  type ReviewCase,
  type SiteCases,
} from "../domain/review";
import { t, tn } from "../i18n";
import { CaseList, type Lines } from "./review-line";

/** Chooses all of some cases, or lets go of them where all are chosen. */
function ChooseAll({ cases, lines, of }: { cases: ReviewCase[]; lines: Lines; of: string }) {
  const keys = cases.map((one) => one.key);
  const all = keys.every((key) => lines.chosen.has(key));
  return (
    <button
      type="button"
      class="btn group__all"
      aria-pressed={all}
      onClick={() => lines.onChoose(keys, !all)}
    >
      {all ? t("app.review.none_of") : tn("app.review.all_of", keys.length)}
      <span class="hidden-text">{` ${of}`}</span>
    </button>
  );
}

/** A site's cases, under its name where other sites have one too. */
function Site(props: { site: SiteCases; act: string; headed: boolean; lines: Lines }) {
  const { site, act, headed, lines } = props;
  return (
    <section class="act__site" aria-label={`${act}, ${site.name}`}>
      {headed && (
        <div class="act__where">
          <h3>{site.name}</h3>
          <span>{tn("app.review.planters", countPlanters(site.cases))}</span>
          {site.cases.length > 1 && (
            <ChooseAll cases={site.cases} lines={lines} of={`${act}, ${site.name}`} />
          )}
        </div>
      )}
      <CaseList cases={site.cases} lines={lines} />
    </section>
  );
}

/** What must be done, then where: one walk, chosen and decided at once if need be. */
export function ActSection({ group, lines }: { group: ActGroup; lines: Lines }) {
  const [first] = group.sites;
  const cases = casesOf(group);
  const where =
    group.sites.length === 1 && first ? first.name : tn("app.review.sites", group.sites.length);
  const planters = tn("app.review.planters", group.planters);
  // Where each site has one planter, its line names it well enough.
  const headed = group.sites.some((site) => site.cases.length > 1);
  return (
    <section class="group act-group">
      <div class="group__head">
        <Stake urgency={group.urgency} />
        <h2>{group.act}</h2>
        <span>{t("app.review.where", { where, planters })}</span>
        {cases.length > 1 && <ChooseAll cases={cases} lines={lines} of={group.act} />}
      </div>
      {group.sites.length === 1 && <CaseList cases={cases} lines={lines} />}
      {group.sites.length > 1 &&
        group.sites.map((site) => (
          <Site key={site.id} site={site} act={group.act} headed={headed} lines={lines} />
        ))}
    </section>
  );
}
