import { gramsFromFloatKg, grams, sumGrams, type Grams } from '#core/quantity/mass'
import type { SheetFacts, SheetLine, SheetLot } from '#features/production/batch-sheet-document'

const lot = (number: number, nameEn: string, nameSw: string, pictogram: string, bags: number | null = null, netKg = 5000): SheetLot => ({
  number,
  nameEn,
  nameSw,
  pictogram,
  bags,
  net: gramsFromFloatKg(netKg),
})

export const LOTS = {
  maize: lot(41, 'Yellow maize', 'Mahindi ya njano', 'maize-cob', 100, 5000),
  soya: lot(38, 'Soya cake', 'Mashudu ya soya', 'soya-pod', 60, 5400),
  fish: lot(36, 'Dried small fish', 'Dagaa', 'fish'),
  sunflower: lot(29, 'Sunflower cake', 'Mashudu ya alizeti', 'sunflower'),
  limestone: lot(112, 'Limestone', 'Chokaa ya mifugo', 'white-stone', 40, 1000),
  premix: lot(44, 'Vitamin-mineral premix', 'Premiksi', 'premix-jar'),
  salt: lot(9, 'Salt', 'Chumvi', 'salt-shaker'),
  methionine: lot(45, 'DL-methionine', 'Methionini', 'premix-jar'),
} as const

/** Rows of the load with ranges of half a per cent and the running total, as planning makes them. */
export const loadLines = (rows: readonly (readonly [SheetLot | null, number])[]): SheetLine[] => {
  let running: Grams = grams(0)
  return rows.map(([of, kg], i) => {
    const target = gramsFromFloatKg(kg)
    running = sumGrams([running, target])
    const spread = Math.round(target * 0.005)
    return {
      part: 'load',
      position: i + 1,
      lot: of,
      scale: 'floor',
      target,
      allowedLow: grams(target - spread),
      allowedHigh: grams(target + spread),
      running,
    }
  })
}

export const preBlendLines = (rows: readonly (readonly [SheetLot, number])[]): SheetLine[] =>
  loadLines(rows).map((line) => ({ ...line, part: 'pre-blend', scale: 'table' }))

/** An invented load of 500 kg; no amount here is a recipe. */
export const sheetFacts = (changes: Partial<SheetFacts> = {}): SheetFacts => ({
  language: 'en',
  mill: { name: 'Mlima Kijani Poultry Cooperative', phone: '0700 000 001', timeZone: 'Africa/Nairobi' },
  mixer: { name: 'Mixer 1', floorScaleStepG: 100, tableScaleStepG: 5, mixMinutes: 4 },
  batch: { number: 211, load: gramsFromFloatKg(500), bag: gramsFromFloatKg(50), loadOfOrder: 1, loadsOfOrder: 2 },
  order: { number: 1052 },
  feed: { nameEn: 'Layer mash', nameSw: 'Chakula cha kuku wa mayai', stage: 'layer_peak' },
  medicine: null,
  before: { previous: 210, need: 'nothing' },
  lines: [
    ...loadLines([
      [LOTS.maize, 150],
      [LOTS.soya, 82],
      [LOTS.fish, 20],
      [LOTS.sunflower, 48],
      [LOTS.limestone, 42],
      [null, 10],
      [LOTS.maize, 148],
    ]),
    ...preBlendLines([
      [LOTS.maize, 6.75],
      [LOTS.premix, 1.25],
      [LOTS.salt, 1.5],
      [LOTS.methionine, 0.5],
    ]),
  ],
  printedAt: new Date('2026-08-04T04:10:00.000Z'),
  printedBy: 'Juma Otieno',
  ...changes,
})

/** Fourteen rows and medicine: more than one page holds. */
export const longFacts = (changes: Partial<SheetFacts> = {}): SheetFacts => {
  const { maize, soya, fish, sunflower, limestone, premix, salt, methionine } = LOTS
  return sheetFacts({
    feed: {
      nameEn: 'Broiler starter with coccidiostat',
      nameSw: 'Chakula cha kuanzia kuku wa nyama chenye dawa',
      stage: 'broiler_starter_0_3wk',
    },
    medicine: { active: 'salinomycin sodium', mgPerKg: 60, withdrawalDays: null },
    before: { previous: 210, need: 'flush' },
    lines: [
      ...loadLines([
        ...[maize, soya, fish, sunflower, limestone, maize, soya, fish, sunflower, limestone, maize, soya].map(
          (each) => [each, 40] as const,
        ),
        [null, 10],
        [maize, 10],
      ]),
      ...preBlendLines([
        [maize, 5.75],
        [premix, 1.25],
        [salt, 1.5],
        [methionine, 0.5],
        [{ ...premix, number: 51, nameEn: 'Salinomycin premix 12 %', nameSw: 'Premiksi ya dawa (salinomycin 12 %)', pictogram: 'pill' }, 1],
      ]),
    ],
    ...changes,
  })
}
