import { FIRST_EGG_WEEK, stageByAge, stageOf, type FlockAge } from '../requirement/stages.js'
import type { CheckContext } from './check-lot.js'
import type { FeedMedication } from './facts.js'
import { findingOf, millFinding, type Finding } from './finding.js'
import { globRank, ruleInForce, severityOf } from './precedence.js'
import type { SafetyRule } from './rows.js'

export type FlockFacts = FlockAge & {
  /** Grams of feed a bird and day, where known. */
  readonly intakeG?: number | undefined
}

/** Pre-lay feed may start at 16 weeks (action of rule CA-03). */
const PRE_LAY_FROM_WEEK = 16
const CHANGE_RULE = 'CA-09'

const weeksBeforeEgg = ({ flockType, ageWeeks, laying }: FlockAge): number | undefined => {
  const firstEgg = FIRST_EGG_WEEK[flockType]
  return firstEgg === undefined ? undefined : laying && ageWeeks >= firstEgg - 4 ? 0 : firstEgg - ageWeeks
}

const isEarlyEnough = (rules: readonly SafetyRule[], feedStage: string, flock: FlockAge): boolean => {
  if (feedStage === 'pre_lay') return flock.flockType === 'layer' && flock.ageWeeks >= PRE_LAY_FROM_WEEK
  const weeks = weeksBeforeEgg(flock)
  const change = rules.find((rule) => rule.id === CHANGE_RULE)
  return stageOf(feedStage)?.laying === true && weeks !== undefined && weeks <= (change?.high ?? 0)
}

/** A feed whose own key names ages that hold the birds' (the broiler pre-starter overlaps the starter). */
const fitsByKey = (feedStage: string, flock: FlockAge): boolean => {
  const feed = stageOf(feedStage)
  if (!feed || feed.agesFrom !== 'key' || feed.flockType !== flock.flockType || flock.laying) return false
  return feed.fromWeek <= flock.ageWeeks && (feed.toWeek === null || flock.ageWeeks < feed.toWeek)
}

/**
 * The stages whose rules a feed must keep for a flock: that of the feed, and that of the birds by their age, so that layer feed is
 * judged as what it is to pullets. Feed of the coming stage that the rules allow early is judged as that stage only.
 */
export const stagesToKeep = (feedStage: string, flock: FlockFacts | undefined, { tables }: CheckContext): string[] => {
  const own = flock && stageByAge(flock)?.id
  if (!flock || own === undefined || own === feedStage || fitsByKey(feedStage, flock)) return [feedStage]
  const sameType = stageOf(feedStage)?.flockType === flock.flockType
  return sameType && isEarlyEnough(tables.rules, feedStage, flock) ? [feedStage] : [feedStage, own]
}

/** Birds for which no table has a stage (breeders in rearing, or breeders that nobody marked as laying): nothing is made for them. */
const hasNoStage = (feedStage: string, flock: FlockFacts): boolean => stageByAge(flock) === undefined && !fitsByKey(feedStage, flock)

/** The oldest growing birds of the tables: their calcium limits (rules CA-01, CA-02) are about the kidneys of any bird that grows. */
const GROWING = 'layer_developer_12_18wk'

/**
 * The upper limits of calcium for birds in rearing of which no table has a stage (broiler breeders before lay): those of growing birds,
 * until so few weeks before the first egg that feed of layers may begin. None for other birds.
 */
export const rearingCalciumRules = (feedStage: string, flock: FlockFacts | undefined, { tables, settings }: CheckContext): SafetyRule[] => {
  if (!flock || !hasNoStage(feedStage, flock)) return []
  const change = tables.rules.find((rule) => rule.id === CHANGE_RULE)
  if ((weeksBeforeEgg(flock) ?? 0) <= (change?.high ?? 0)) return []
  return tables.rules.filter(
    (rule) => rule.topic === 'calcium' && rule.operator === '<=' && globRank(rule.flockGlob, GROWING) > 0 && ruleInForce(rule, settings),
  )
}

/** Medicine in feed for birds of no stage: without a stage no authorised use can be shown to mean them, so none does. */
export const checkMedicineWithoutStage = (
  medication: readonly FeedMedication[],
  feedStage: string,
  flock: FlockFacts | undefined,
): Finding[] =>
  flock === undefined || !hasNoStage(feedStage, flock)
    ? []
    : medication.map(({ active, mgPerKg }) =>
        millFinding('MEDICINE-NO-RULE', 'coccidiostat dose', {
          severity: 'block',
          what: { code: 'no-authorised-use', facts: { active, stage: feedStage, flockType: flock.flockType } },
          found: { value: mgPerKg, unit: 'mg/kg', knownBy: 'worked-out' },
          appliesTo: feedStage,
        }),
      )

/** Layer feed to birds too young (rule CA-09), and feed of another kind or age than the birds. */
export const checkBirds = (feedStage: string, flock: FlockFacts, context: CheckContext): Finding[] => {
  const own = stageByAge(flock)
  if (own?.id === feedStage || fitsByKey(feedStage, flock)) return []
  const weeks = weeksBeforeEgg(flock)
  const facts = { stage: feedStage, flockStage: own?.id ?? null, ageWeeks: flock.ageWeeks, flockType: flock.flockType }
  const early = context.tables.rules
    .filter((rule) => rule.id === CHANGE_RULE && ruleInForce(rule, context.settings) && globRank(rule.flockGlob, feedStage) > 0)
    .flatMap((rule) =>
      weeks !== undefined && weeks > (rule.high ?? 0)
        ? findingOf(rule, {
            severity: severityOf(rule),
            what: { code: 'birds-too-young', facts: { ...facts, weeksBeforeFirstEgg: weeks } },
            found: { value: weeks, unit: rule.unit, knownBy: 'worked-out' },
            limit: { value: rule.high ?? 0, unit: rule.unit, side: 'max' },
            appliesTo: feedStage,
          })
        : [],
    )
  if (early.length > 0 || (!hasNoStage(feedStage, flock) && stagesToKeep(feedStage, flock, context).length === 1)) return early
  return [millFinding('FEED-STAGE', 'flock', { severity: 'warn', what: { code: 'feed-of-another-stage', facts }, appliesTo: feedStage })]
}
