import { type GatePriceBody, type GatePriceView } from '#contract/gate-price'
import { gateVerdict, stepAt, type GatePrice, type GateStep } from '#core/formulation/gate-price'
import { kgAfterDrying } from '#core/milling/dry-matter'
import { formatKg, gramsFromFloatKg } from '#core/quantity/mass'
import type { Finding } from '#core/safety/finding'
import { decidingPrice, type PreparedMix } from '#features/formulas/prepare-mix'
import type { MixLot } from '#features/lots/lots-for-mix'
import type { FeedWanted } from './feed-wanted.js'
import { TRUCK_ID, type Truck } from './truck-lot.js'

type Solved = Extract<GatePrice, { kind: 'priced' }>
type None = { readonly kind: 'none'; readonly reason: 'no-feed' | 'failed' | 'time-limit'; readonly states: GatePrice['states'] }
type Prepared = { readonly wanted: FeedWanted; readonly mix: PreparedMix }

/** All that an answer is told from. `answer` null: there was nothing to solve. */
export type Question = {
  readonly input: GatePriceBody
  /** As it stands at the gate, and as it is used: dried where it must be. */
  readonly arrived: Truck
  readonly truck: Truck
  readonly driedTo: number | null
  readonly days: number
  readonly until: string
  readonly findings: readonly Finding[]
  readonly feeds: readonly Prepared[]
  readonly suppliers: ReadonlyMap<string, string>
  readonly answer: Solved | None | null
}

/** Down to a hundredth, unless it is one but for rounding. */
const down = (price: number): number => Math.floor(price * 100 + 1e-6) / 100
const downOrNull = (price: number | null): number | null => (price === null ? null : down(price))
const kgText = (kg: number): string => formatKg(gramsFromFloatKg(kg))

/** Less than this of a lot, more or less, is no change that anybody would see. */
const SMALLEST_CHANGE_KG = 0.05

const reasonOf = ({ answer }: Question, blocked: boolean): GatePriceView['reason'] => {
  if (blocked || answer?.kind === 'priced') return null
  if (answer === null) return 'no-feed-wanted'
  if (answer.reason !== 'no-feed') return answer.reason
  return Object.values(answer.states).includes('only-with-truck') ? 'only-with-truck' : 'no-feed-possible'
}

type Explained = { readonly step: GateStep; readonly last: GateStep } | null

/** The step that is told: at the price asked where something is used at it, else the first at which something is. */
const explainedOf = (answer: Question['answer'], asked: number): Explained => {
  if (answer?.kind !== 'priced') return null
  const last = answer.steps.at(-1)
  const at = stepAt(answer.steps, asked)
  const step = at !== null && at.kg > 0 ? at : answer.steps.find(({ kg }) => kg > 0)
  return step && last ? { step, last } : null
}

const changesOf = (id: string, lots: readonly MixLot[], explained: Explained, { suppliers }: Question) => {
  if (explained === null) return []
  const [now, before] = [explained.step.feeds[id] ?? {}, explained.last.feeds[id] ?? {}]
  return lots
    .filter((lot) => lot.id !== TRUCK_ID)
    .map((lot) => ({ lot, kg: (now[lot.id] ?? 0) - (before[lot.id] ?? 0) }))
    .filter(({ kg }) => Math.abs(kg) >= SMALLEST_CHANGE_KG)
    .toSorted((a, b) => a.kg - b.kg)
    .map(({ lot, kg }) => ({
      ingredientId: lot.ingredientId,
      ingredientNameEn: lot.ingredientNameEn,
      ingredientNameSw: lot.ingredientNameSw,
      lotId: lot.id,
      lotNumber: lot.number === 0 ? null : lot.number,
      supplierName: suppliers.get(lot.id) ?? null,
      kg: kgText(kg),
      pricePerKg: decidingPrice(lot),
    }))
}

const stopsAt = (answer: Question['answer'], id: string): number | null => {
  if (answer?.kind !== 'priced') return null
  const taking = answer.steps.filter(({ feeds }) => (feeds[id]?.[TRUCK_ID] ?? 0) >= SMALLEST_CHANGE_KG)
  return downOrNull(taking.at(-1)?.toPrice ?? null)
}

const feedView = ({ wanted, mix }: Prepared, explained: Explained, question: Question): GatePriceView['feeds'][number] => {
  const { formula, formulaId } = wanted.version
  const { answer } = question
  return {
    formulaId,
    number: formula.number,
    nameEn: formula.nameEn,
    nameSw: formula.nameSw,
    stage: formula.stage,
    wantedKg: wanted.kg,
    wantedBy: wanted.by,
    state: answer?.states[formulaId] ?? null,
    unknown: mix.problem.leftOut.find(({ lotId }) => lotId === TRUCK_ID)?.nutrient ?? null,
    usedKg: kgText(explained?.step.feeds[formulaId]?.[TRUCK_ID] ?? 0),
    stopsAt: stopsAt(answer, formulaId),
    changes: changesOf(formulaId, mix.lots, explained, question),
  }
}

/** What the mill saves with a price: for every kilogram the distance from it to where that kilogram is no longer used. */
const sparedAt = ({ steps }: Solved, asked: number): number =>
  steps.reduce((sum, { fromPrice, toPrice, kg }) => sum + kg * Math.max(0, toPrice - Math.max(fromPrice, asked)), 0)

const believedOf = ({ lot: { composition }, book }: Truck): GatePriceView['believed'] => {
  const { DM, CP, AME } = composition.values
  const booked = (nutrient: string) => book.find((value) => value.nutrient === nutrient)?.value ?? null
  const value = (nutrient: 'CP' | 'AME', unit: string, of: typeof CP) => ({
    nutrient,
    unit,
    value: of.value,
    sd: of.value === null ? null : (of.sd ?? null),
    knownBy: of.knownBy,
    bookValue: booked(nutrient),
  })
  const dryBook = booked('DM')
  const water = {
    nutrient: 'moisture' as const,
    unit: '%',
    value: DM.value === null ? null : 100 - DM.value,
    sd: DM.value === null ? null : (DM.sd ?? null),
    knownBy: DM.knownBy,
    bookValue: dryBook === null ? null : 100 - dryBook,
  }
  return [water, value('CP', '%', CP), value('AME', 'kcal/kg', AME)]
}

/** The moisture at which prices are compared: the one asked for, that to which it is dried, else the book's. */
const agreedOf = ({ input, truck, driedTo }: Question): number | null => {
  if (input.moisturePct === null) return null
  const dry = truck.book.find(({ nutrient }) => nutrient === 'DM')?.value
  return input.agreedMoisturePct ?? driedTo ?? (dry === undefined || dry >= 100 ? null : Math.round((100 - dry) * 10) / 10)
}

/** The same money, for fewer kilograms of the same dry matter. */
const atAgreed = (price: number | null, { input }: Question, agreed: number | null): number | null =>
  price === null || agreed === null || input.moisturePct === null ? null : down(price / kgAfterDrying(1, input.moisturePct, agreed))

const pricesOf = (question: Question) => {
  const { answer } = question
  const agreed = agreedOf(question)
  const solved = answer?.kind === 'priced' ? answer : null
  return {
    whole: downOrNull(solved?.whole ?? null),
    half: downOrNull(solved?.half ?? null),
    breakEven: downOrNull(solved?.breakEven ?? null),
    average: downOrNull(solved?.average ?? null),
    agreedMoisturePct: agreed,
    wholeAtAgreed: atAgreed(solved?.whole ?? null, question, agreed),
    breakEvenAtAgreed: atAgreed(solved?.breakEven ?? null, question, agreed),
    mostKg: kgText(solved?.steps[0]?.kg ?? 0),
    exact: solved?.exact ?? true,
    feedPct: solved === null ? 100 : Math.floor(solved.share * 1000 + 1e-3) / 10,
    steps: (solved?.steps ?? []).map(({ fromPrice, toPrice, kg }) => ({ fromPrice, toPrice, kg: kgText(kg) })),
  }
}

const verdictOf = ({ answer }: Question, asked: number, blocked: boolean): GatePriceView['verdict'] => {
  if (blocked) return 'blocked'
  return answer?.kind === 'priced' ? gateVerdict(answer, asked) : 'cannot-tell'
}

/** The whole answer. `blocked`: a rule stands against the truck, and nothing was solved. */
export const gateView = (question: Question, blocked: boolean): GatePriceView => {
  const { input, arrived, truck, driedTo, days, until, findings, feeds, answer } = question
  const { lot } = arrived
  const asked = Number(input.pricePerKg)
  const explained = explainedOf(answer, asked)
  const used = answer?.kind === 'priced' ? (stepAt(answer.steps, asked)?.kg ?? 0) : 0
  return {
    verdict: verdictOf(question, asked, blocked),
    reason: reasonOf(question, blocked),
    ingredientId: lot.ingredientId,
    ingredientNameEn: lot.ingredientNameEn,
    ingredientNameSw: lot.ingredientNameSw,
    kg: lot.freeKg,
    askedPerKg: lot.pricePerKg,
    days,
    until,
    keeping: truck.keeping,
    driedTo,
    driedKg: driedTo === null ? null : formatKg(truck.mass),
    ...pricesOf(question),
    usedKg: kgText(used),
    spared: (answer?.kind === 'priced' ? sparedAt(answer, asked) : 0).toFixed(2),
    explainedAt: explained === null ? null : used > 0 ? asked : down(explained.step.toPrice),
    feeds: feeds.map((feed) => feedView(feed, explained, question)),
    believed: believedOf(arrived),
    findings: findings.filter(({ severity }) => severity !== 'pass').map((finding) => ({ ...finding })),
  }
}
