import { z } from 'zod'
import { KgView, LanguageCode } from './quantities.js'

/** What everyone who signs in may know of the mill. */
export const MillView = z
  .object({
    name: z.string(),
    district: z.string(),
    phone: z.string(),
    currency: z.string(),
    timeZone: z.string(),
    jurisdiction: z.string(),
    bagKg: KgView,
    sheetLanguage: LanguageCode,
  })
  .meta({ id: 'Mill' })
export type MillView = z.infer<typeof MillView>
