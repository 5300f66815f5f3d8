import type { ReceiveLotBody } from '#contract/lots'
import { LOOK_POINTS, type LookPoint } from '#core/receiving/looks'

export const SUPPLIERS = [
  { key: 'ota', name: 'Ota Traders', phone: '+254700000101', place: 'Kilele market' },
  { key: 'maua', name: 'Maua Grain Store', phone: '+254700000102', place: 'Mwembe Tatu' },
  { key: 'bonde', name: 'Bonde Oil Press', phone: '+254700000103', place: 'Bonde la Mwewe' },
  { key: 'ziwa', name: 'Ziwa Fish Sellers', phone: '+254700000104', place: 'Ziwani' },
  { key: 'jiwe', name: 'Jiwe Jeupe Minerals', phone: '+254700000105', place: 'Jiwe Refu' },
  { key: 'nuru', name: 'Nuru Premix Supplies', phone: '+254700000106', place: 'District town' },
] as const
export type SupplierKey = (typeof SUPPLIERS)[number]['key']

/** What the next delivery would cost a kilogram in KES; invented. */
export const REPLACEMENT_PRICES: Readonly<Record<string, string>> = {
  maize_white: '42.00',
  maize_yellow: '43.50',
  maize_bran_low_fibre: '28.00',
  wheat_pollard: '31.00',
  wheat_bran: '27.00',
  rice_bran_medium: '24.00',
  sorghum_low_tannin: '44.00',
  soybean_cake_expeller: '96.00',
  soybean_meal_48: '104.00',
  sunflower_cake_high_fibre: '46.00',
  cottonseed_cake_decorticated: '58.00',
  omena_dagaa_meal: '138.00',
  fish_meal_60: '165.00',
  limestone: '11.00',
  dicalcium_phosphate: '128.00',
  salt: '24.00',
  sodium_bicarbonate: '92.00',
  l_lysine_hcl_78: '390.00',
  dl_methionine_99: '640.00',
  l_threonine_985: '460.00',
  premix_generic: '330.00',
  vegetable_oil: '215.00',
  bone_meal_steamed: '62.00',
}

type Results = Readonly<Record<string, number>>
export type DemoLot = {
  ingredient: string
  supplier: SupplierKey
  daysAgo: number
  netKg: number
  bags: number | null
  pricePerKg: string
  place: string
  moisture?: number
  /** Results of the laboratory: per cent, aflatoxins in ug/kg. */
  results?: Results
  decision?: 'release' | 'reject'
  reason?: string
  medication?: { active: string; strengthPct: number } | 'none'
  /** Gross and tare of the scale, kilograms on the delivery note with its number, terms at an agreed moisture, what was seen. */
  weighing?: NonNullable<ReceiveLotBody['weighing']>
  noteKg?: string
  note?: string
  agreedMoisturePct?: number
  looks?: ReceiveLotBody['looks']
  /** On the day it came it was held for so many days. */
  heldFor?: { days: number; reason: string }
}

const lot = (
  ingredient: string,
  supplier: SupplierKey,
  daysAgo: number,
  netKg: number,
  bags: number | null,
  pricePerKg: string,
  place: string,
  rest: Omit<Partial<DemoLot>, 'ingredient'> = {},
): DemoLot => ({ ingredient, supplier, daysAgo, netKg, bags, pricePerKg, place, ...rest })
const released = (results: Results, rest: Omit<Partial<DemoLot>, 'ingredient'> = {}) => ({
  moisture: results['moisture'] ?? 12,
  results,
  decision: 'release' as const,
  ...rest,
})
const bought = { decision: 'release' as const, reason: 'Label and certificate read' }

/** The whole check was made; what was not good is named with what was seen. */
const looked = (bad: Readonly<Partial<Record<LookPoint, string>>> = {}): ReceiveLotBody['looks'] =>
  LOOK_POINTS.map((point) => ({ point, good: bad[point] === undefined, note: bad[point] ?? '' }))

/**
 * Three months of deliveries, oldest first. All invented; laboratory values lie within the published spread of each ingredient. Of one
 * supplier's maize there are lots enough to show what is usual of it, and one outside.
 */
export const LOTS: readonly DemoLot[] = [
  lot('limestone', 'jiwe', 88, 4000, 80, '10.50', 'M1', bought),
  lot('salt', 'jiwe', 88, 500, 10, '23.00', 'M2', bought),
  lot('sodium_bicarbonate', 'jiwe', 88, 150, 6, '88.00', 'M2', bought),
  lot('premix_generic', 'nuru', 87, 300, 12, '318.00', 'P1', { ...bought, medication: 'none' }),
  lot('dl_methionine_99', 'nuru', 87, 75, 3, '620.00', 'P2', bought),
  lot('l_lysine_hcl_78', 'nuru', 87, 100, 4, '372.00', 'P2', bought),
  lot('dicalcium_phosphate', 'jiwe', 86, 750, 15, '124.00', 'M3', bought),
  lot('maize_white', 'ota', 85, 2700, 30, '38.50', 'A1', released({ moisture: 12.9, CP: 8.3, aflatoxin_total: 4 })),
  lot(
    'soybean_cake_expeller',
    'bonde',
    84,
    2500,
    50,
    '91.00',
    'B1',
    released({ moisture: 9.1, CP: 42.8, EE: 6.4, urea: 0, aflatoxin_total: 2 }),
  ),
  lot(
    'sunflower_cake_high_fibre',
    'bonde',
    83,
    1500,
    30,
    '44.00',
    'B2',
    released({ moisture: 8.2, CP: 26.4, CF: 27.1, aflatoxin_total: 6 }),
  ),
  lot('wheat_pollard', 'maua', 82, 2000, 40, '29.50', 'A3', released({ moisture: 12.2, CP: 15.6 })),
  lot(
    'omena_dagaa_meal',
    'ziwa',
    80,
    800,
    16,
    '131.00',
    'B3',
    released({ moisture: 9.4, CP: 61.2, ash: 17.8, AIA: 1.1, urea: 0, Na: 0.72, Cl: 1.05 }),
  ),
  lot('maize_white', 'ota', 79, 1800, 20, '38.50', 'A1', released({ moisture: 13.0, CP: 8.4, aflatoxin_total: 3 })),
  lot('maize_bran_low_fibre', 'maua', 78, 2400, 48, '26.50', 'A2', released({ moisture: 12.0, CP: 10.1, aflatoxin_total: 8 })),
  lot('maize_white', 'ota', 74, 1800, 20, '38.80', 'A1', released({ moisture: 12.8, CP: 8.2, aflatoxin_total: 5 })),
  lot('maize_white', 'maua', 70, 5400, 60, '39.80', 'A1', released({ moisture: 13.2, CP: 8.0, aflatoxin_total: 5 })),
  lot('vegetable_oil', 'bonde', 68, 400, 20, '205.00', 'B4', bought),
  lot(
    'soybean_cake_expeller',
    'bonde',
    60,
    2500,
    50,
    '93.00',
    'B1',
    released({ moisture: 8.7, CP: 44.1, EE: 6.9, urea: 0, aflatoxin_total: 3 }),
  ),
  lot('maize_white', 'ota', 58, 4500, 50, '41.00', 'A4', {
    moisture: 14.6,
    results: { moisture: 14.8, CP: 8.1, aflatoxin_total: 31 },
    decision: 'reject',
    reason: 'Aflatoxin 31 ug/kg, limit 20 ug/kg',
  }),
  lot('cottonseed_cake_decorticated', 'bonde', 55, 900, 18, '55.00', 'B2', released({ moisture: 7.9, CP: 39.5, aflatoxin_total: 7 })),
  lot('maize_white', 'ota', 52, 1800, 20, '40.60', 'A1', released({ moisture: 12.9, CP: 8.3, aflatoxin_total: 4 })),
  lot('limestone', 'jiwe', 50, 4000, 80, '10.80', 'M1', bought),
  lot('maize_white', 'maua', 46, 6300, 70, '40.20', 'A1', released({ moisture: 12.6, CP: 8.5, aflatoxin_total: 3 })),
  lot('maize_white', 'ota', 44, 1800, 20, '40.80', 'A1', released({ moisture: 13.0, CP: 8.1, aflatoxin_total: 4 })),
  lot('wheat_pollard', 'maua', 42, 2000, 40, '30.20', 'A3', released({ moisture: 11.9, CP: 16.1 })),
  lot(
    'omena_dagaa_meal',
    'ziwa',
    38,
    700,
    14,
    '134.00',
    'B3',
    released({ moisture: 9.9, CP: 59.6, ash: 19.0, AIA: 1.8, urea: 0, Na: 0.8, Cl: 1.2 }),
  ),
  lot('maize_white', 'ota', 36, 1800, 20, '41.20', 'A1', released({ moisture: 12.9, CP: 8.4, aflatoxin_total: 3 })),
  lot(
    'soybean_cake_expeller',
    'bonde',
    33,
    3000,
    60,
    '95.00',
    'B1',
    released({ moisture: 9.3, CP: 43.4, EE: 6.1, urea: 0, aflatoxin_total: 2 }),
  ),
  lot('premix_generic', 'nuru', 30, 300, 12, '326.00', 'P1', { ...bought, medication: 'none' }),
  lot(
    'maize_white',
    'ota',
    29,
    1800,
    20,
    '41.40',
    'A1',
    released({ moisture: 13.0, CP: 8.3, aflatoxin_total: 5 }, { noteKg: '1812', note: 'OT 297' }),
  ),
  lot(
    'sunflower_cake_high_fibre',
    'bonde',
    28,
    1800,
    36,
    '45.50',
    'B2',
    released({ moisture: 8.5, CP: 25.7, CF: 28.0, aflatoxin_total: 5 }),
  ),
  lot(
    'maize_white',
    'ota',
    21,
    1800,
    20,
    '41.60',
    'A1',
    released({ moisture: 12.8, CP: 8.2, aflatoxin_total: 4 }, { noteKg: '1800', note: 'OT 305' }),
  ),
  lot('maize_bran_low_fibre', 'maua', 20, 2500, 50, '27.60', 'A2', released({ moisture: 11.8, CP: 10.4, aflatoxin_total: 6 })),
  lot('salinomycin_premix_12', 'nuru', 19, 25, 1, '1450.00', 'Medicine cupboard', {
    ...bought,
    medication: { active: 'salinomycin sodium', strengthPct: 12 },
  }),
  lot('dl_methionine_99', 'nuru', 18, 75, 3, '636.00', 'P2', bought),
  lot('dicalcium_phosphate', 'jiwe', 17, 750, 15, '127.00', 'M3', bought),
  lot('vegetable_oil', 'bonde', 15, 400, 20, '212.00', 'B4', bought),
  lot(
    'soybean_cake_expeller',
    'bonde',
    9,
    3000,
    60,
    '96.00',
    'B1',
    released({ moisture: 9.0, CP: 43.9, EE: 6.6, urea: 0, aflatoxin_total: 2 }),
  ),
  lot('fish_meal_60', 'ziwa', 8, 500, 10, '162.00', 'B3', {
    moisture: 8.8,
    results: { moisture: 8.9, CP: 60.4, ash: 20.1 },
    noteKg: '500',
    note: 'Z 118',
    looks: looked({ 'torn-bags': 'one sack torn, 1 kg on the floor' }),
  }),
  lot('maize_white', 'maua', 4, 6300, 70, '42.00', 'A4', {
    moisture: 13.1,
    results: { moisture: 13.0, CP: 8.2 },
    weighing: { grossKg: '13473.5', tareKg: '7100', emptyBagG: 1050 },
    noteKg: '6300',
    note: 'MG 2041',
    looks: looked(),
  }),
  lot('maize_white', 'ota', 2, 5400, 60, '42.40', 'A4', {
    moisture: 13.4,
    weighing: { grossKg: '12463', tareKg: '7000', emptyBagG: 1050 },
    noteKg: '5460',
    note: 'OT 318',
    agreedMoisturePct: 13,
    looks: looked(),
  }),
  lot('wheat_pollard', 'maua', 1, 2000, 40, '31.00', 'A3', {
    moisture: 12.1,
    noteKg: '2000',
    note: 'MG 2044',
    looks: looked({ insects: 'weevils in two sacks', 'batch-number': '' }),
    heldFor: { days: 9, reason: 'Fumigated with phosphine against weevils; the sheet stays on for a week, then a day of air' },
  }),
]
