import type { BatchSheetView } from '#contract/production'
import { bagsAndRest, fullBagOf } from '#core/milling/full-bag'
import { formatKg, grams, sumGrams, type Grams } from '#core/quantity/mass'
import { writtenAt } from '#platform/documents/written-date'
import { BATCH_SHEET_WORDS, type BatchSheetWords } from './batch-sheet-words.js'
import { allowedOf, bareFigureOf, figureOf, sacksOf, type Scale } from './sheet-figures.js'
import { birdPictogram, stageInWords } from './stage-words.js'

export type SheetLot = {
  readonly number: number
  readonly net: Grams
  readonly bags: number | null
  readonly nameEn: string
  readonly nameSw: string
  readonly pictogram: string
}
export type SheetLine = {
  readonly part: 'load' | 'pre-blend'
  readonly position: number
  /** null: the pre-blend itself. */
  readonly lot: SheetLot | null
  readonly scale: 'floor' | 'table'
  readonly target: Grams
  readonly allowedLow: Grams
  readonly allowedHigh: Grams
  readonly running: Grams
}
export type SheetFacts = {
  readonly language: 'en' | 'sw'
  readonly mill: { readonly name: string; readonly phone: string; readonly timeZone: string }
  readonly mixer: { readonly name: string; readonly floorScaleStepG: number; readonly tableScaleStepG: number; readonly mixMinutes: number }
  readonly batch: {
    readonly number: number
    readonly load: Grams
    readonly bag: Grams
    readonly loadOfOrder: number
    readonly loadsOfOrder: number
  }
  readonly order: { readonly number: number }
  readonly feed: { readonly nameEn: string; readonly nameSw: string; readonly stage: string }
  readonly medicine: { readonly active: string; readonly mgPerKg: number; readonly withdrawalDays: number | null } | null
  /** What must have happened on the mixer before, by the check that also stands at the start of the batch. */
  readonly before: { readonly previous: number | null; readonly need: 'nothing' | 'flush' | 'flush-and-drug-free-load' }
  readonly lines: readonly SheetLine[]
  readonly printedAt: Date
  readonly printedBy: string
}

const medicineText = (medicine: SheetFacts['medicine'], words: BatchSheetWords): string => {
  if (medicine === null) return words.noMedicine
  const { active, mgPerKg, withdrawalDays } = medicine
  return `${words.medicated(active, `${mgPerKg}\u00a0mg/kg`)}; ${withdrawalDays === null ? words.withdrawalUnknown : words.withdrawal(withdrawalDays)}; ${words.notForHens}`
}

const beforeTexts = ({ previous, need }: SheetFacts['before'], words: BatchSheetWords): string[] => {
  const after =
    previous === null
      ? words.firstLoad
      : need === 'nothing'
        ? words.noFlush(previous)
        : need === 'flush'
          ? words.flushFirst(previous)
          : words.drugFreeFirst(previous)
  return [words.mixerEmpty, after, words.scaleChecked]
}

const shortKg = (mass: Grams): string => formatKg(mass).replace(/\.?0+$/, '')

const bagsText = (load: Grams, bag: Grams, words: BatchSheetWords): string => {
  const count = Math.floor(load / bag)
  const rest = grams(load - count * bag)
  return [words.bags(count, shortKg(bag)), ...(rest > 0 ? [words.partBag(shortKg(rest))] : [])].join(' ')
}

type RowBags = Pick<BatchSheetView['rows'][number], 'bags' | 'bagsOf' | 'loose'>

const bagsOfRow = (target: Grams, lot: SheetLot, scale: Scale, words: BatchSheetWords): RowBags => {
  const { sacks, loose } = sacksOf(target, lot)
  if (sacks === 0) return { bags: 0, bagsOf: '', loose: words.loose }
  const full = bagsAndRest(target, fullBagOf(lot.net, lot.bags))
  return {
    bags: sacks,
    bagsOf: full === null ? '' : words.bagsOf(full.count, shortKg(full.bag)),
    loose: loose === 0 ? '' : `+ ${figureOf(loose, scale)}`,
  }
}

/** The batch sheet as a model in one language: the PDF and the print view both show exactly this. */
export const batchSheet = (facts: SheetFacts): BatchSheetView => {
  const { language, batch, mixer } = facts
  const words = BATCH_SHEET_WORDS[language]
  const scaleOf = (line: SheetLine): Scale => ({
    name: line.scale,
    stepGrams: line.scale === 'floor' ? mixer.floorScaleStepG : mixer.tableScaleStepG,
  })
  const floor: Scale = { name: 'floor', stepGrams: mixer.floorScaleStepG }
  const nameOf = (lot: SheetLot | null): string =>
    lot === null ? words.preBlend(batch.number) : language === 'en' ? lot.nameEn : lot.nameSw
  const load = facts.lines.filter(({ part }) => part === 'load').toSorted((a, b) => a.position - b.position)
  const preBlend = facts.lines.filter(({ part }) => part === 'pre-blend').toSorted((a, b) => a.position - b.position)
  const preBlendGrams = sumGrams(preBlend.map(({ target }) => target))
  return {
    language,
    title: words.title,
    mill: facts.mill.name,
    phone: facts.mill.phone,
    batchNumber: batch.number,
    printedAt: writtenAt(facts.printedAt, facts.mill.timeZone, language),
    printedBy: facts.printedBy,
    feedName: language === 'en' ? facts.feed.nameEn : facts.feed.nameSw,
    stage: `${stageInWords(facts.feed.stage, language)}, ${words.loadOfOrder(facts.order.number, batch.loadOfOrder, batch.loadsOfOrder)}`,
    birdPictogram: birdPictogram(facts.feed.stage),
    loadKg: figureOf(batch.load, floor),
    mixerName: mixer.name,
    medicine: { medicated: facts.medicine !== null, text: medicineText(facts.medicine, words) },
    before: beforeTexts(facts.before, words),
    columns: { ...words.columns, before: words.before, load: words.load(batch.number) },
    rows: load.map((line) => ({
      position: line.position,
      pictogram: line.lot?.pictogram ?? 'premix-jar',
      name: nameOf(line.lot),
      lotNumber: line.lot === null ? '' : String(line.lot.number),
      ...(line.lot === null ? { bags: 0, bagsOf: '', loose: words.fromBox } : bagsOfRow(line.target, line.lot, scaleOf(line), words)),
      kg: figureOf(line.target, scaleOf(line)),
      allowed: allowedOf(line.allowedLow, line.allowedHigh, scaleOf(line)),
      running: bareFigureOf(line.running, floor),
    })),
    preBlend:
      preBlend.length === 0
        ? null
        : {
            title: `${words.preBlend(batch.number)} ${words.preBlendTitle}`,
            totalGrams: figureOf(preBlendGrams, { name: 'table', stepGrams: 1 }),
            rows: preBlend.map((line) => ({
              name: nameOf(line.lot),
              lotNumber: line.lot === null ? '' : String(line.lot.number),
              pictogram: line.lot?.pictogram ?? 'premix-jar',
              grams: figureOf(line.target, { ...scaleOf(line), name: 'table' }),
              allowed: allowedOf(line.allowedLow, line.allowedHigh, { ...scaleOf(line), name: 'table' }),
            })),
          },
    mixing: [words.mix(mixer.mixMinutes), words.columns.start, words.columns.end],
    bags: bagsText(batch.load, batch.bag, words),
    cautions: [...words.cautions],
    signatures: [words.weighedBy, words.checkedBy],
    powerCut: words.powerCut,
    qr: `KINU BATCH ${batch.number}`,
  }
}
