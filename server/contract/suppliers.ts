import { z } from 'zod'
import { listQuery } from './lists.js'
import { Instant, KgView, RequiredText, Text } from './quantities.js'

export const SupplierListQuery = listQuery(['name', 'createdAt'], {})
export const CreateSupplierBody = z.strictObject({ name: RequiredText(80), phone: Text(30).default(''), place: Text(80).default('') })
export const SupplierView = z
  .object({
    id: z.uuid(),
    name: z.string(),
    phone: z.string(),
    place: z.string(),
    createdAt: Instant,
    lots: z.number().int(),
    receivedKg: KgView,
    revision: z.number().int(),
  })
  .meta({ id: 'Supplier' })
