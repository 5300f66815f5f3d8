import { lotRules, REQUIRED_TESTS, type CheckContext } from './check-lot.js'
import { millFinding, type Finding } from './finding.js'
import { isAflatoxin } from './hazards.js'
import { analysesFor } from './lot-duties.js'
import { globRank } from './precedence.js'
import type { SafetyRule } from './rows.js'
import { ureaIsKnownFraud } from '../composition/urea.js'

export const HAZARDS = ['moisture', 'protein', 'aflatoxin', 'urea', 'sand', 'salt'] as const
export type Hazard = (typeof HAZARDS)[number]

/** Results of which any one says what the hazard asks, the most usual first. */
export const HAZARD_ANALYTES: Readonly<Record<Hazard, readonly string[]>> = {
  moisture: ['moisture'],
  protein: ['CP'],
  aflatoxin: ['aflatoxin_total', 'aflatoxin_B1'],
  urea: ['urea'],
  sand: ['AIA'],
  salt: ['Cl'],
}

/** How the findings call it: the words of the rule table where it has some. */
const ITEMS: Readonly<Record<Hazard, string>> = {
  moisture: 'moisture',
  protein: 'CP',
  aflatoxin: 'total aflatoxins',
  urea: 'urea or other non-protein nitrogen',
  sand: 'acid-insoluble ash (sand) in dried small fish',
  salt: 'salt',
}

export const isTested = (hazard: Hazard, measured: ReadonlySet<string>): boolean =>
  HAZARD_ANALYTES[hazard].some((analyte) => measured.has(analyte))

/** A test that the mill asks for beyond the reference. */
export type MillTest = { readonly hazard: Hazard; readonly reason: string }
type Kind = { readonly ingredientKey: string; readonly category: string }

/** `required`: no release without it. `asked`: a rule looks for it, and without it the manager must say why. `none`: shown as unknown. */
export type TestDuty = {
  readonly hazard: Hazard
  readonly duty: 'required' | 'asked' | 'none'
  readonly by: 'mill-rule' | 'mill-addition' | 'reference' | null
  /** Rule of the table, where one asks; its source and whether its text was read. */
  readonly ruleId: string | null
  readonly source: string | null
  readonly read: boolean
  /** Of the mill's own addition. */
  readonly reason: string | null
}

const hazardOfItem = (item: string): Hazard | undefined =>
  isAflatoxin(item)
    ? 'aflatoxin'
    : item === 'moisture'
      ? 'moisture'
      : item.startsWith('salt')
        ? 'salt'
        : /\bsand\b/.test(item)
          ? 'sand'
          : undefined

const NOTHING = { by: null, ruleId: null, source: null, read: false, reason: null } as const

const requiredBy = (hazard: Hazard, { ingredientKey, category }: Kind): TestDuty | undefined => {
  const analyses: readonly string[] = analysesFor(category)
  if (HAZARD_ANALYTES[hazard].some((analyte) => analyses.includes(analyte)))
    return { ...NOTHING, hazard, duty: 'required', by: 'mill-rule', source: 'mill-rule', read: true }
  const test = REQUIRED_TESTS.find((row) => row.hazard === hazard && globRank(row.ingredientGlob, ingredientKey) > 0)
  return test && { ...NOTHING, hazard, duty: 'required', by: 'reference', source: test.source, read: false }
}

const asRule = (hazard: Hazard, rule: SafetyRule): TestDuty => ({
  ...NOTHING,
  hazard,
  duty: 'asked',
  by: 'reference',
  ruleId: rule.id,
  source: rule.source,
  read: rule.read,
})

const askedBy = (hazard: Hazard, kind: Kind, context: CheckContext): TestDuty | undefined => {
  const rule = lotRules(kind, context).find(({ item }) => hazardOfItem(item) === hazard)
  if (rule) return asRule(hazard, rule)
  const urea = hazard === 'urea' && ureaIsKnownFraud(kind.ingredientKey, kind.category)
  const adulteration = urea ? context.tables.rules.find(({ id }) => id === 'NPN-01') : undefined
  return adulteration && asRule(hazard, adulteration)
}

/** What must, what should and what need not have been tested before a lot of this ingredient is released: one row of the matrix. */
export const testDuties = (kind: Kind, context: CheckContext, own: readonly MillTest[]): readonly TestDuty[] =>
  HAZARDS.map((hazard) => {
    const required = requiredBy(hazard, kind)
    if (required) return required
    const added = own.find((test) => test.hazard === hazard)
    if (added) return { ...NOTHING, hazard, duty: 'required', by: 'mill-addition', source: 'mill-rule', read: true, reason: added.reason }
    return askedBy(hazard, kind, context) ?? { ...NOTHING, hazard, duty: 'none' }
  })

/** Blocks the release until the tests that the mill itself asks for are made. */
export const missingMillTests = (
  { name, ingredientKey, measured }: { readonly name: string; readonly ingredientKey: string; readonly measured: ReadonlySet<string> },
  own: readonly MillTest[],
): Finding[] =>
  own
    .filter(({ hazard }) => !isTested(hazard, measured))
    .map(({ hazard, reason }) =>
      millFinding(`MILL-TEST-${hazard.toUpperCase()}`, 'analysis', {
        severity: 'block',
        what: { code: 'mill-test-missing', facts: { item: ITEMS[hazard], ingredientKey, reason } },
        appliesTo: name,
      }),
    )
