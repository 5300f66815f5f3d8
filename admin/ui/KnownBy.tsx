import type { KnownBy as HowKnown } from '#core/composition/nutrients'
import { useSharedWords, type SharedKey } from '../i18n/words'
import type { Translate } from '../i18n/translate'

/** A value with how it is known. All figures are texts as shown, without unit; `figure` is absent exactly when unknown. */
export type KnownValue = {
  readonly knownBy: HowKnown
  readonly unit: string
  readonly figure?: string | undefined
  /** Half of the 95 % range. */
  readonly spread?: string | undefined
  /** Day of the measurement, as shown. */
  readonly on?: string | undefined
  /** Who measured. */
  readonly by?: string | undefined
  /** From what it was worked out. */
  readonly from?: string | undefined
  /** How many earlier lots of the supplier. */
  readonly lots?: number | undefined
  readonly countsAs?: string | undefined
  readonly countsAtLeast?: string | undefined
  readonly countsAtMost?: string | undefined
}

const wordsFor = (value: KnownValue, t: Translate<SharedKey>): string => {
  switch (value.knownBy) {
    case 'measured':
    case 'below-detection':
      if (value.on && value.by) return t('known.measuredOnBy', { on: value.on, by: value.by })
      return value.on ? t('known.measuredOn', { on: value.on }) : t('known.measured')
    case 'worked-out':
      return value.from ? t('known.workedOutFrom', { from: value.from }) : t('known.worked-out')
    case 'supplier':
      return value.lots ? t('known.supplierLots', { smart_count: value.lots }) : t('known.supplier')
    case 'book':
    case 'memory':
    case 'structural-zero':
    case 'unknown':
      return t(`known.${value.knownBy}`)
    default:
      return value.knownBy satisfies never
  }
}

const MARKS: Readonly<Record<HowKnown, { outline: string; solid?: string; sign?: string }>> = {
  measured: { outline: 'M2 8A6 6 0 1 0 14 8A6 6 0 1 0 2 8Z', solid: 'M2 8A6 6 0 1 0 14 8A6 6 0 1 0 2 8Z' },
  'below-detection': { outline: 'M2 8A6 6 0 1 0 14 8A6 6 0 1 0 2 8Z', solid: 'M2 8A6 6 0 1 0 14 8A6 6 0 1 0 2 8Z' },
  'worked-out': { outline: 'M2 8A6 6 0 1 0 14 8A6 6 0 1 0 2 8Z', solid: 'M2 8A6 6 0 0 0 14 8Z' },
  supplier: { outline: 'M2 8A6 6 0 1 0 14 8A6 6 0 1 0 2 8Z' },
  book: { outline: 'M2.5 2.5H13.5V13.5H2.5Z' },
  'structural-zero': { outline: 'M2.5 2.5H13.5V13.5H2.5Z', sign: 'M5 8H11' },
  memory: { outline: 'M2.5 2.5H13.5V13.5H2.5Z', sign: 'M6.2 6.4A1.9 1.9 0 1 1 8.6 8.2C8.1 8.4 8 8.7 8 9.2M8 11.2V11.21' },
  unknown: { outline: 'M2.5 2.5H13.5V13.5H2.5Z', sign: 'M2.5 13.5L13.5 2.5M2.5 8L8 2.5M8 13.5L13.5 8' },
}

export const KnownMark = ({ knownBy }: { knownBy: HowKnown }) => {
  const { outline, solid, sign } = MARKS[knownBy]
  return (
    <svg className="k-known-mark" width={16} height={16} viewBox="0 0 16 16" aria-hidden>
      {solid && <path className="k-solid" d={solid} />}
      <path d={outline} />
      {sign && <path d={sign} />}
    </svg>
  )
}

const countsWords = (value: KnownValue, t: Translate<SharedKey>): string =>
  [
    value.countsAs && t('known.countsAs', { figure: value.countsAs }),
    value.countsAtLeast && t('known.countsAtLeast', { figure: value.countsAtLeast }),
    value.countsAtMost && t('known.countsAtMost', { figure: value.countsAtMost }),
  ]
    .filter(Boolean)
    .join(', ')

type KnownByProps = { readonly value: KnownValue; readonly audience?: 'staff' | 'member' }

/** Mark, figure with unit, spread, and in words how it is known. An unknown has no digit at all. Members see "about 17 %". */
export const KnownBy = ({ value, audience = 'staff' }: KnownByProps) => {
  const { t } = useSharedWords()
  const words = wordsFor(value, t)
  const counts = countsWords(value, t)
  if (value.knownBy === 'unknown' || value.figure === undefined) {
    return (
      <span className="k-known" data-known="unknown">
        <KnownMark knownBy="unknown" />
        <span className="k-known-hatch">
          <span className="k-known-patch">{t('known.unknown')}</span>
        </span>
        {counts && <span className="k-known-words">{counts}</span>}
      </span>
    )
  }
  const figure = `${value.figure}\u00a0${value.unit}`
  const shown = value.knownBy === 'below-detection' ? t('known.under', { limit: figure }) : figure
  if (audience === 'member') return <span className="k-known">{t('known.about', { figure })}</span>
  return (
    <span className="k-known" data-known={value.knownBy}>
      <KnownMark knownBy={value.knownBy} />
      <span className="k-known-figure">{shown}</span>
      {value.spread && <span className="k-known-spread">{`\u00b1\u00a0${value.spread}`}</span>}
      <span className="k-known-words">{counts ? `${words}; ${counts}` : words}</span>
    </span>
  )
}
