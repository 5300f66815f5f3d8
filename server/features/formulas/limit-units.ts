import { describeRow } from '#core/formulation/row-id'

/** Shares stand in the problem of a mix as kilograms of its batch and are told in per cent; all else is told as it stands. */
export const toldUnitOf = (rowId: string, batchKg: number): number => {
  const { kind } = describeRow(rowId)
  return kind === 'ingredient' || kind === 'group' ? 100 / batchKg : 1
}

/** 16.5 - 0.1 shows as 16.4, not as 16.400000000000002. */
export const tidy = (value: number): number => Number(value.toPrecision(12))
