import type { RecordAssaysBody } from '#contract/laboratory'
import { inFirstUnit, isAnalyte } from '#core/composition/analytes'
import type { FieldError } from '#core/errors'
import { figuresOf, QUICK_TESTS } from '#core/laboratory/quick-tests'

export type Result = RecordAssaysBody['results'][number]

const fault = (path: string, code: string, message: string, facts = {}): FieldError => ({ path, code, message, facts })

/** What is wrong with the answer of a quick test, or with a result that names no method at all. */
export const quickFaults = (result: Result, path: string): FieldError[] => {
  const { quickTest, reading, method, analyte, detectionLimit } = result
  if (quickTest === null) {
    const asked =
      reading === 'figure' && detectionLimit === null ? [] : [fault(`${path}.reading`, 'quick-test-only', 'only of a quick test')]
    return [...asked, ...(method.trim() === '' ? [fault(`${path}.method`, 'needed', 'say by which method')] : [])]
  }
  const test = QUICK_TESTS[quickTest]
  if (test.analyte !== analyte)
    return [fault(`${path}.quickTest`, 'another-analyte', `this test is of ${test.analyte}`, { analyte: test.analyte })]
  if (test.answers === 'yes-no' && reading === 'figure')
    return [fault(`${path}.reading`, 'yes-no', 'found or none found: this test gives no figure')]
  if (test.answers === 'figure' && reading === 'found') return [fault(`${path}.value`, 'figure', 'the figure that was read')]
  return []
}

/** A result with what its quick test says of it: method, error, detection limit. Others stay as they are. */
export const withQuickTest = (result: Result): Result => {
  const { quickTest, analyte, value, unit, reading, detectionLimit } = result
  if (quickTest === null || !isAnalyte(analyte)) return result
  const test = QUICK_TESTS[quickTest]
  const inUnit = inFirstUnit(analyte, 1, unit)
  const limit = detectionLimit ?? test.detectionLimit / inUnit
  const figures = figuresOf({ ...test, detectionLimit: limit }, { reading, value, detectionLimit: limit })
  return { ...result, ...figures, method: test.method, reading: figures.belowDetection ? 'none-found' : reading }
}
