import { CreateSupplierBody, SupplierView } from '#contract/suppliers'
import { fieldError } from '#core/errors'
import { command } from '#platform/command'

export const createSupplier = command({
  roles: ['store-keeper', 'manager'],
  input: CreateSupplierBody,
  output: SupplierView,
  status: 201,
  async run({ tx, now, newId, record }, input) {
    const name = input.name.trim()
    const known = await tx.supplier.findFirst({ where: { name: { equals: name, mode: 'insensitive' } }, select: { id: true } })
    if (known !== null)
      throw fieldError('already-exists', 'name', 'already-exists', 'there is a supplier of this name already', { supplierId: known.id })
    const row = await tx.supplier.create({ data: { ...input, id: newId(), name, createdAt: now } })
    record('supplier.created', 'supplier', row.id, { name })
    return { ...row, createdAt: row.createdAt.toISOString(), lots: 0, receivedKg: '0.000' }
  },
})
