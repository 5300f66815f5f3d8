import { millFinding, type Finding } from '../safety/finding.js'

/** What a keeper looks at and smells at before a lot goes on the stack; common practice of the trade, no source. */
export const LOOK_POINTS = ['smell', 'colour', 'insects', 'wet-bags', 'torn-bags', 'foreign-matter', 'label', 'batch-number'] as const
export type LookPoint = (typeof LOOK_POINTS)[number]
export type Look = { readonly point: LookPoint; readonly good: boolean; readonly note: string }

/**
 * A point that failed stands against the release until the manager, who has looked, lets it pass with a reason that is kept. It warns and
 * does not block, because most can be put right: wet bags taken out, insects treated, a label asked for.
 */
export const lookFindings = (looks: readonly Look[], lotNumber: number): Finding[] =>
  looks
    .filter(({ good }) => !good)
    .map(({ point, note }) =>
      millFinding(`LOT-LOOK-${point.toUpperCase()}`, `look-${point}`, {
        severity: 'warn',
        what: { code: `look-failed-${point}`, facts: { lot: String(lotNumber), note } },
        appliesTo: String(lotNumber),
      }),
    )
