import { describe, expect, test } from 'vitest'
import { CURVE, NEAR_CURVE, PRICES } from '../../../admin/gallery/samples'
import { costAt, CostCurve } from '../../../admin/ui/pictures/CostCurve'
import { PriceRanges } from '../../../admin/ui/pictures/PriceRanges'
import { priceScale, roomyOf } from '../../../admin/ui/pictures/scales'
import { readable, rendered } from './rendered.js'

const ranges = (rows: typeof PRICES) => <PriceRanges rows={rows} sentence="The mix changes first when maize rises" />
const only = (key: string) => PRICES.filter((row) => row.key === key)

describe('when the mix changes', () => {
  test('both ends and today stand at the marks and in the table', () => {
    const words = readable(ranges(only('maize')))
    expect(words).toContain('The mix changes first when maize rises')
    expect(words).toContain('Yellow maize stays in between 35.10 and 41.60; today 38.00.')
    expect(words).toContain('35.10 41.60 today 38.00')
    expect(words).toContain('Enters below Yellow maize 38.00 35.10 41.60')
    expect(rendered(ranges(PRICES)).match(/<tr>/g)).toHaveLength(PRICES.length + 1)
  })

  test('an unused ingredient enters below a price, or at none', () => {
    expect(readable(ranges(only('cotton')))).toContain('enters below 27.40 today 33.00')
    expect(readable(ranges(only('cotton')), 'sw')).toContain('itaingia chini ya 27.40')
    expect(rendered(ranges(only('cotton')))).not.toContain('k-price-stay')
    expect(readable(ranges(only('blood')))).toContain('enters at no price')
  })

  test('a range without end is told as such, and an absent one is not drawn', () => {
    expect(readable(ranges(only('salt')))).toContain('Salt 25.00 18.00 no end')
    expect(rendered(ranges(only('germ')))).not.toContain('k-price-stay')
    expect(readable(ranges(only('germ')))).toContain('changes a little with every price')
  })

  test('the scale is straight, and proportional where one price is many times another', () => {
    const straight = priceScale([20, 40, 60])
    expect(straight.proportional).toBe(false)
    expect(straight.at(40)).toBeCloseTo(50, 9)
    const proportional = priceScale([10, 1000])
    expect(proportional.proportional).toBe(true)
    expect(proportional.at(100)).toBeCloseTo(50, 9)
    expect(proportional.ticks).toEqual([10, 20, 50, 100, 200, 500, 1000])
    expect(readable(ranges(PRICES))).toContain('Equal distances are equal changes in per cent.')
    expect(readable(ranges(only('maize')))).not.toContain('Equal distances')
  })
})

describe('what a tonne costs over one limit', () => {
  const asked = { now: 16.5, nowText: '16.5 %', unit: '%', exact: true, sentence: 'Protein costs', axisText: 'Protein at least' }

  test('every point stands in the table, today marked', () => {
    const words = readable(<CostCurve {...asked} points={CURVE} />)
    expect(words).toContain('Protein at least (%) Cost a tonne 14.0 % KES 44,900')
    expect(words).toContain('today 16.5 % KES 46,212')
    expect(rendered(<CostCurve {...asked} points={CURVE} />).match(/<tr>/g)).toHaveLength(CURVE.length + 1)
    expect(words).not.toContain('no mix')
    expect(words).not.toContain('worked out one by one')
  })

  test('where no mix is possible is hatched and said', () => {
    const ends = rendered(<CostCurve {...asked} points={CURVE} possibleFrom={14} possibleTo={18.6} />)
    expect(ends.match(/k-curve-impossible/g)).toHaveLength(2)
    expect(ends.match(/>no mix</g)).toHaveLength(2)
    const none = <CostCurve {...asked} points={[]} possibleFrom={null} possibleTo={null} />
    expect(rendered(none).match(/k-curve-impossible/g)).toHaveLength(1)
    expect(readable(none)).toContain('No mix is possible anywhere in this range.')
    expect(rendered(none)).not.toContain('NaN')
  })

  test('says when the points were worked out one by one, and marks them otherwise', () => {
    const near = rendered(<CostCurve {...asked} points={NEAR_CURVE} now={7.2} exact={false} />)
    expect(near).toContain('worked out one by one')
    expect(near).toContain('k-curve-point')
    expect(near).not.toContain('k-curve-break')
  })

  test('today lies on the line between two points, and on none where no mix is possible', () => {
    const points = [
      { at: 10, cost: 100, atText: '', costText: '' },
      { at: 20, cost: 300, atText: '', costText: '' },
    ]
    expect(costAt(points, 15)).toBeCloseTo(200, 9)
    expect(costAt(points, 10)).toBe(100)
    expect(costAt(points, 9)).toBeUndefined()
    expect(costAt(points, 21)).toBeUndefined()
    expect(rendered(<CostCurve {...asked} points={CURVE} now={20} possibleTo={18.6} />)).not.toContain('k-picture-today')
  })

  test('labels that would touch give way to earlier ones', () => {
    expect([...roomyOf([50, 0, 100, 45, 20], 15)]).toEqual([0, 1, 2, 4])
  })
})
