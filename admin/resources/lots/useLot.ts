import type { z } from 'zod'
import type { LotDetailView } from '#contract/lots'
import { useStaffWords } from '../../i18n/words'
import type { Problem } from '../../providers/http'
import { useWhole } from '../../providers/useWhole'
import { asProblem } from '../../shell/useAct'
import { ingredientOf, useIngredientName } from '../ingredients/names'

export type LotDetail = z.output<typeof LotDetailView>

type Found = {
  readonly lot: LotDetail | undefined
  /** "white maize". */
  readonly name: string
  /** "Lot 44, white maize". */
  readonly title: string
  readonly problem: Problem | undefined
  readonly again: () => void
}

/** One lot with its tests, composition and findings, and its name in the reader's language. */
export const useLot = (id: string): Found => {
  const { t } = useStaffWords()
  const nameOf = useIngredientName()
  const { data: lot, error, refetch } = useWhole<LotDetail>('lots', id)
  const name = lot ? nameOf(ingredientOf(lot)) : ''
  return {
    lot,
    name,
    title: lot ? t('lots.named', { number: lot.number, name }) : t('lots.lot'),
    problem: error ? asProblem(error) : undefined,
    again: () => void refetch(),
  }
}
