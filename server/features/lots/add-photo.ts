import { AddPhotoBody, LotPhotoView, MOST_PHOTOS } from '#contract/lots'
import { ById } from '#contract/lists'
import { fieldError } from '#core/errors'
import { plainJpeg } from '#core/receiving/jpeg'
import { lockLot } from '#features/stock/ledger'
import { command } from '#platform/command'
import { photoView, withoutBytes } from './photos.js'

/** A name or a declared type proves nothing, so the bytes are read; what tells where it was taken is not kept, whoever sends it. */
const pictureOf = (parts: readonly string[]): Uint8Array<ArrayBuffer> => {
  const picture = plainJpeg(Buffer.from(parts.join(''), 'base64'))
  if (picture === null) throw fieldError('bad-input', 'parts', 'not-a-picture', 'a JPEG picture')
  return Uint8Array.from(picture)
}

const HOUR_MS = 3_600_000
/** As old as a delivery may be that is still entered. Common practice, no source. */
const OLDEST_DAYS = 730

/** The clock of a phone may be a little fast; one that was never set says a year of its own. */
const momentOf = (takenAt: string, now: Date): Date => {
  const at = new Date(takenAt)
  if (at.getTime() > now.getTime() + HOUR_MS) throw fieldError('bad-input', 'takenAt', 'in-the-future', 'this moment has not come yet')
  if (at.getTime() >= now.getTime() - OLDEST_DAYS * 24 * HOUR_MS) return at
  throw fieldError('bad-input', 'takenAt', 'too-long-ago', `at most ${OLDEST_DAYS} days ago`, { days: OLDEST_DAYS })
}

/** Keeps a photo of a lot: what the stack, the label or the trouble looked like. Photos are added to, never taken away. */
export const addLotPhoto = command({
  roles: ['store-keeper', 'laboratory', 'manager'],
  params: ById,
  input: AddPhotoBody,
  output: LotPhotoView,
  status: 201,
  async run({ tx, actor, now, newId, record }, { id: lotId, parts, shows, takenAt }) {
    const jpeg = pictureOf(parts)
    // Under the lot's lock, so that of two phones at once none goes over the number.
    const { number } = await lockLot(tx, lotId)
    const kept = await tx.lotPhoto.count({ where: { lotId } })
    if (kept >= MOST_PHOTOS)
      throw fieldError('bad-input', 'parts', 'too-many-photos', `at most ${MOST_PHOTOS} a lot`, { most: MOST_PHOTOS })
    const photo = await tx.lotPhoto.create({
      data: {
        id: newId(),
        lotId,
        shows,
        takenAt: momentOf(takenAt, now),
        addedAt: now,
        addedBy: actor.userId,
        size: jpeg.length,
        jpeg,
      },
      select: withoutBytes,
    })
    record('lot.photo-added', 'lot', lotId, { number, photoId: photo.id, bytes: jpeg.length, shows })
    return photoView(photo)
  },
})
