import { useState } from 'react'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../Button'
import { KnownBy, type KnownValue } from '../KnownBy'
import { Hatches } from './Hatches'
import { Picture } from './Picture'

export type NutrientRail = {
  readonly key: string
  readonly name: string
  readonly mean: number
  readonly value: KnownValue
  /** Limits as numbers for the drawing and as texts with unit for the reader. */
  readonly min?: number | undefined
  readonly minText?: string | undefined
  readonly max?: number | undefined
  readonly maxText?: string | undefined
  /** Half width of the range that the certainty asks for, in the unit of the mean. */
  readonly halfRange?: number | undefined
  /** How many times in twenty the limit shall hold. */
  readonly timesIn20?: number | undefined
  readonly state: 'inside' | 'at-limit' | 'failing'
  /** How much of the value rests on memory or is unknown, as shown: "31 %". */
  readonly weak?: string | undefined
  /** Where the value could lie were the unknown part at its worst. */
  readonly unknownUpTo?: number | undefined
}

const ORDER = { failing: 0, 'at-limit': 1, inside: 2 } as const
const FIRST_ON_PHONE = 6
const FIRST_COMPACT = 3
const ONE_SIDED_SPAN = 0.1

const scaleOf = (rail: NutrientRail): ((value: number) => string) => {
  const half = rail.halfRange ?? 0
  // with one limit alone, what stands a hair beside it must not be drawn at the other end
  const far =
    rail.min === undefined ? (rail.max ?? 0) * (1 - ONE_SIDED_SPAN) : rail.max === undefined ? rail.min * (1 + ONE_SIDED_SPAN) : rail.min
  const points = [rail.mean - half, rail.mean + half, rail.min, rail.max, far, rail.unknownUpTo].filter((point) => point !== undefined)
  const low = Math.min(...points)
  const high = Math.max(...points)
  const span = high - low || Math.abs(high) || 1
  return (value) => `${6 + ((value - low) / span) * 88}%`
}

const RailDrawing = ({ rail }: { rail: NutrientRail }) => {
  const at = scaleOf(rail)
  const percent = (value: number): number => Number(at(value).slice(0, -1))
  const half = rail.halfRange ?? 0
  const bar = (from: number, to: number): { x: string; width: string } => ({ x: at(from), width: `${percent(to) - percent(from)}%` })
  return (
    <svg>
      <line className="k-rail-line" x1="0" x2="100%" y1="16" y2="16" />
      {half > 0 && <rect className="k-rail-range" {...bar(rail.mean - half, rail.mean + half)} y="12" height="8" />}
      {rail.unknownUpTo !== undefined && rail.unknownUpTo > rail.mean && (
        <rect className="k-rail-unknown" {...bar(rail.mean, rail.unknownUpTo)} y="10" height="12" />
      )}
      {rail.min !== undefined && (
        <>
          <line className="k-rail-notch" x1={at(rail.min)} x2={at(rail.min)} y1="3" y2="29" />
          <svg x={at(rail.min)} overflow="visible">
            <path className="k-rail-notch" d="M0 29H7M0 3H7" />
          </svg>
        </>
      )}
      {rail.max !== undefined && (
        <>
          <line className="k-rail-notch" x1={at(rail.max)} x2={at(rail.max)} y1="3" y2="29" />
          <svg x={at(rail.max)} overflow="visible">
            <path className="k-rail-notch" d="M0 29H-7M0 3H-7" />
          </svg>
        </>
      )}
      <circle className="k-rail-dot" cx={at(rail.mean)} cy="16" r="6" />
    </svg>
  )
}

type RailsProps = {
  readonly rails: readonly NutrientRail[]
  readonly sentence: string
  /** One line each: beside the limits themselves, what they are need not be told once more. */
  readonly compact?: boolean
}

/** Inside the limits, and how surely: one rail a nutrient, each on its own scale; failing and at-limit rows first. */
export const NutrientRails = ({ rails, sentence, compact = false }: RailsProps) => {
  const { t } = useStaffWords()
  const [all, setAll] = useState(false)
  const sorted = [...rails].sort((a, b) => ORDER[a.state] - ORDER[b.state])
  const urgent = sorted.filter((rail) => rail.state !== 'inside' || rail.value.knownBy === 'unknown').length
  const shown = all ? sorted : sorted.slice(0, Math.max(urgent, compact ? FIRST_COMPACT : FIRST_ON_PHONE))
  const limits = ({ minText, maxText }: NutrientRail): string => {
    if (minText && maxText) return t('picture.between', { min: minText, max: maxText })
    if (minText) return t('picture.limitsAtLeast', { min: minText })
    return maxText ? t('picture.limitsAtMost', { max: maxText }) : ''
  }
  const stateWords = (rail: NutrientRail): string =>
    rail.state === 'at-limit' ? t('picture.atItsLimit') : rail.state === 'failing' ? t('picture.failing') : ''
  const certainty = (rail: NutrientRail): string => (rail.timesIn20 === undefined ? '' : t('picture.certain', { times: rail.timesIn20 }))
  const title = (key: 'name' | 'mean' | 'min' | 'max' | 'certainty') => ({ title: t(`picture.column.${key}`) })
  return (
    <Picture
      reachable
      sentence={sentence}
      note={t('picture.ownScale')}
      action={
        (sorted.length > shown.length || all) && (
          <Button kind="quiet" onPress={() => setAll(!all)}>
            {t(all ? 'action.showFewer' : 'action.showAll')}
          </Button>
        )
      }
      table={{
        columns: [title('name'), title('mean'), title('min'), title('max'), title('certainty')],
        rows: sorted.map((rail) => [
          rail.name,
          <KnownBy key="known" value={rail.value} />,
          rail.minText ?? '',
          rail.maxText ?? '',
          [certainty(rail), stateWords(rail)].filter(Boolean).join(', '),
        ]),
      }}
    >
      <Hatches />
      {shown.map((rail) => (
        <div className="k-rail" key={rail.key} data-trouble={rail.state === 'failing' || undefined} data-compact={compact || undefined}>
          <div className="k-rail-label">
            <span className="k-strong">{rail.name}</span>
            <KnownBy value={rail.value} />
            <span className={compact ? 'k-hidden' : undefined}>{[limits(rail), certainty(rail)].filter(Boolean).join(', ')}</span>
            <span className={compact && rail.state !== 'failing' ? 'k-hidden' : 'k-strong'}>{stateWords(rail)}</span>
            {rail.weak && !compact && <span className="k-known-words">{t('picture.weakPart', { share: rail.weak })}</span>}
          </div>
          <div className="k-rail-drawing" aria-hidden>
            <RailDrawing rail={rail} />
          </div>
        </div>
      ))}
    </Picture>
  )
}
