import { FIRST_EGG_WEEK } from '#core/requirement/stages'
import { useStaffWords } from '../../i18n/words'
import type { Flock } from '../members/memberModel'

/** Under this age people count a flock's days, later its weeks. */
const WEEKS_FROM_DAYS = 21

export const useFlockWords = () => {
  const { t } = useStaffWords()
  const ageOf = ({ ageDays }: { readonly ageDays: number }): string =>
    ageDays < WEEKS_FROM_DAYS ? t('unit.days', { smart_count: ageDays }) : t('unit.weeks', { smart_count: Math.floor(ageDays / 7) })
  return { ageOf }
}

/** Birds that are kept for eggs: only of these it is asked whether they lay. */
export const canLay = (flockType: Flock['flockType'] | ''): boolean => flockType !== '' && FIRST_EGG_WEEK[flockType] !== undefined

const MS_PER_DAY = 86_400_000
/** Whole days from one calendar day to another. */
export const daysFromTo = (from: string, to: string): number => Math.round((Date.parse(to) - Date.parse(from)) / MS_PER_DAY)
