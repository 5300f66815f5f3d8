import type { BatchLine } from '../../../admin/resources/batches/batchModel'

/** One row of a sheet: soya cake of lot 38, the row of the design's own example. */
export const line = (over: Partial<BatchLine> = {}): BatchLine => ({
  part: 'load',
  position: 2,
  lotId: '00000000-0000-7000-8000-000000000038',
  lotNumber: 38,
  ingredientId: 'soybean_cake_expeller',
  nameEn: 'Soya cake',
  nameSw: 'Mashudu ya soya',
  pictogram: 'soya-pod',
  scale: 'floor',
  targetKg: '82.000',
  bags: null,
  allowedLowKg: '81.600',
  allowedHighKg: '82.400',
  runningKg: '232.000',
  actualKg: null,
  outside: false,
  weighedAt: null,
  weighedBy: null,
  earlierKg: [],
  ...over,
})
