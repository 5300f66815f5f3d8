import { describe, expect, it } from 'vitest'
import { RecordSamplesBody } from '#contract/laboratory'
import { filled, readBatch, type Bench } from '../../../admin/resources/assays/batchModel.js'

const LOT = '0190a7e4-0000-7000-8000-00000000000'
const bench = (changes: Partial<Bench>): Bench => ({
  quickTest: 'moisture-meter',
  analyte: 'CP',
  method: '',
  kitLimit: '',
  laboratory: 'Mill laboratory',
  measuredOn: '2026-08-04',
  rows: ['12.5', '', '13'].map((value, index) => ({ lotId: `${LOT}${index}`, value, confirmed: false })),
  ...changes,
})

describe('a row of samples as it is typed', () => {
  it('sends only what was measured, with the analyte of the quick test and no method of its own', () => {
    const reading = readBatch(bench({}))
    expect(filled(bench({}))).toHaveLength(2)
    if (reading.kind !== 'body') throw new Error('not read')
    expect(RecordSamplesBody.parse(reading.body)).toMatchObject({
      analyte: 'moisture',
      quickTest: 'moisture-meter',
      unit: '%',
      method: '',
      rows: [
        { lotId: `${LOT}0`, value: 12.5, reading: 'figure' },
        { lotId: `${LOT}2`, value: 13, reading: 'figure' },
      ],
    })
  })

  it('sends what a strip said in words, with the limit of its kit', () => {
    const rows = ['found', 'none-found', ''].map((value, index) => ({ lotId: `${LOT}${index}`, value, confirmed: false }))
    const reading = readBatch(bench({ quickTest: 'aflatoxin-strip', kitLimit: '10', rows }))
    if (reading.kind !== 'body') throw new Error('not read')
    expect(reading.body).toMatchObject({ analyte: 'aflatoxin_total', unit: 'ug/kg', detectionLimit: 10 })
    expect(reading.body.rows.map(({ reading: said }) => said)).toEqual(['found', 'none-found'])
  })

  it.each([
    ['nothing typed', { rows: [] }, 'rows'],
    ['no laboratory', { laboratory: ' ' }, 'laboratory'],
    ['another method without its name', { quickTest: null }, 'method'],
    ['a figure in words', { rows: [{ lotId: `${LOT}0`, value: 'twelve', confirmed: false }] }, 'rows.0.value'],
    ['a kit limit in words', { quickTest: 'aflatoxin-strip' as const, kitLimit: 'ten' }, 'detectionLimit'],
  ])('says at which field: %s', (_what, changes, path) => {
    const reading = readBatch(bench(changes))
    expect(reading.kind === 'faults' && Object.keys(reading.faults)).toContain(path)
  })
})
