import { z } from 'zod'

/** Kilograms on the wire: a decimal string with at most three decimals, more than nothing, at most 10,000 tonnes. */
export const KgString = z
  .string()
  .regex(/^(0|[1-9]\d{0,7})(\.\d{1,3})?$/, 'a figure in kilograms with at most three decimals, such as 82.5')
  .refine((text) => Number(text) > 0, 'more than 0 kg')
  .meta({ id: 'Kilograms', description: 'Kilograms, at most three decimals, above 0', examples: ['82.500'] })

/** The most that one delivery can be: three long lorries with trailers, far beyond a village mill's gate; common practice, no source. */
export const MAX_DELIVERY_KG = 100_000

/** As KgString, but nothing is a figure too (an actual weight of 0 kg). */
export const KgOrZeroString = z
  .string()
  .regex(/^(0|[1-9]\d{0,7})(\.\d{1,3})?$/, 'a figure in kilograms with at most three decimals, such as 82.5')
  .meta({ id: 'KilogramsOrZero', description: 'Kilograms, at most three decimals, 0 or more', examples: ['0.000'] })

/** Kilograms as answered: three decimals, may be negative in a ledger. */
export const KgView = z.string().meta({ id: 'KilogramsView', description: 'Kilograms with three decimals', examples: ['82.500'] })

export const PricePerKgString = z
  .string()
  .regex(/^(0|[1-9]\d{0,5})(\.\d{1,4})?$/, 'a price a kilogram with at most four decimals, such as 55.20')
  .meta({
    id: 'PricePerKg',
    description: 'Price of one kilogram in the currency of the mill, at most four decimals',
    examples: ['55.2000'],
  })

/** The moisture at which the terms of a price count kilograms. */
export const AgreedMoisturePct = z.number().min(1, 'at least 1 %').max(40, 'at most 40 %').nullable().default(null)

export const MoneyView = z
  .string()
  .meta({ id: 'Money', description: 'Money with two decimals in the currency of the mill', examples: ['11040.00'] })

/** A plain date of the mill's own calendar. */
export const PlainDate = z.iso.date().meta({ id: 'PlainDate', description: 'A date, YYYY-MM-DD', examples: ['2026-08-04'] })
export const Instant = z.iso
  .datetime({ offset: true })
  .meta({ id: 'Instant', description: 'A moment, ISO 8601', examples: ['2026-08-04T05:00:00.000Z'] })

/** What people type: trimmed by the page, no control characters, bounded. */
export const Text = (max: number) =>
  z
    .string()
    .max(max, `at most ${max} characters`)
    .regex(/^[^\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]*$/, 'no control characters')
export const RequiredText = (max: number) => Text(max).min(1, 'not empty').regex(/\S/, 'not only spaces')

export const LanguageCode = z.enum(['en', 'sw'])
export const KnownByWord = z.enum(['measured', 'worked-out', 'supplier', 'book', 'below-detection', 'structural-zero', 'memory', 'unknown'])
