import { AddPhotoBody, LotPhotoView, MOST_PHOTOS } from '#contract/lots'
import { ById } from '#contract/lists'
import { fieldError } from '#core/errors'
import { lockLot } from '#features/stock/ledger'
import { command } from '#platform/command'
import { photoView, withoutBytes } from './photos.js'

// FF D8 FF: start of image, then a marker; FF D9 ends it (ISO/IEC 10918-1). A name or a declared type proves nothing.
const isJpeg = (bytes: Buffer): boolean =>
  bytes.length > 4 && bytes[0] === 0xff && bytes[1] === 0xd8 && bytes[2] === 0xff && bytes.subarray(-2).equals(Buffer.from([0xff, 0xd9]))

const pictureOf = (parts: readonly string[]): Buffer => {
  const bytes = Buffer.from(parts.join(''), 'base64')
  if (!isJpeg(bytes)) throw fieldError('bad-input', 'parts', 'not-a-picture', 'a JPEG picture')
  return bytes
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
        takenAt: new Date(takenAt),
        addedAt: now,
        addedBy: actor.userId,
        size: jpeg.length,
        jpeg: Uint8Array.from(jpeg),
      },
      select: withoutBytes,
    })
    record('lot.photo-added', 'lot', lotId, { number, photoId: photo.id, bytes: jpeg.length, shows })
    return photoView(photo)
  },
})
