import { LOOK_POINTS } from '#core/receiving/looks'
import { MillError } from '#core/errors'
import { ById } from '#contract/lists'
import type { LotPhotoView } from '#contract/lots'
import type { Db, Prisma, Tx } from '#platform/database/client'
import { document } from '#platform/query'
import { STAFF } from '#platform/staff'

/** All of a photo but its bytes. */
export const withoutBytes = {
  id: true,
  lotId: true,
  shows: true,
  takenAt: true,
  addedAt: true,
  size: true,
  addedByUser: { select: { name: true } },
} as const satisfies Prisma.LotPhotoSelect
type PhotoRow = Prisma.LotPhotoGetPayload<{ select: typeof withoutBytes }>

export const photoView = ({ id, lotId, shows, takenAt, addedAt, size, addedByUser }: PhotoRow): LotPhotoView => ({
  id,
  lotId,
  shows: LOOK_POINTS.find((point) => point === shows) ?? null,
  takenAt: takenAt.toISOString(),
  addedAt: addedAt.toISOString(),
  addedBy: addedByUser.name,
  bytes: size,
})

export const lotPhotos = async (db: Db | Tx, lotId: string): Promise<LotPhotoView[]> =>
  (await db.lotPhoto.findMany({ where: { lotId }, select: withoutBytes, orderBy: [{ addedAt: 'asc' }, { id: 'asc' }] })).map(photoView)

/** The picture itself, for staff only; it never changes. */
export const getLotPhoto = document({
  roles: STAFF,
  params: ById,
  contentType: 'image/jpeg',
  async run({ db }, { id }) {
    const photo = await db.lotPhoto.findUnique({ where: { id }, select: { jpeg: true, lot: { select: { number: true } } } })
    if (photo === null) throw new MillError('not-found')
    return { fileName: `lot-${photo.lot.number}-${id.slice(-4)}.jpg`, bytes: photo.jpeg }
  },
})
