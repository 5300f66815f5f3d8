import { useId, useState } from 'react'
import { MOST_PHOTOS, type LotPhotoView } from '#contract/lots'
import { LOOK_POINTS, type LookPoint } from '#core/receiving/looks'
import { formatDate, formatTime } from '../../format/dates'
import { useStaffWords } from '../../i18n/words'
import { API } from '../../providers/http'
import { useMay } from '../../providers/useMay'
import { useAct } from '../../shell/useAct'
import { Card } from '../../ui/Card'
import { FailureBar, FieldError } from '../../ui/Failure'
import { SelectField } from '../../ui/Field'
import { shrinkPhoto } from './shrinkPhoto'

type PhotosProps = {
  readonly lotId: string
  readonly number: number
  readonly photos: readonly LotPhotoView[]
  /** Points that failed: the first photo is offered as one of these. */
  readonly failed: readonly LookPoint[]
  readonly onAdded: (photo: LotPhotoView) => void
}

const Photo = ({ photo, number }: { photo: LotPhotoView; number: number }) => {
  const { t, language } = useStaffWords()
  const shows = photo.shows ? t(`receiving.short.${photo.shows}`) : t('receiving.photoWhole')
  const when = `${formatDate(photo.takenAt, language)} ${formatTime(photo.takenAt)}`
  const src = `${API}/lot-photos/${photo.id}`
  return (
    <li>
      <figure className="k-photo">
        <a href={src} target="_blank" rel="noreferrer">
          <img src={src} alt={t('receiving.photoOf', { number, shows })} loading="lazy" />
        </a>
        <figcaption>
          <b>{shows}</b>
          <br />
          <span className="k-caption">{t('receiving.photoBy', { when, who: photo.addedBy })}</span>
        </figcaption>
      </figure>
    </li>
  )
}

/** Takes a picture with the phone, makes it small, sends it. */
const AddPhoto = ({ lotId, failed, onAdded }: Pick<PhotosProps, 'lotId' | 'failed' | 'onAdded'>) => {
  const { t } = useStaffWords()
  const input = useId()
  const { send, busy, problem, errorAt } = useAct()
  const [shows, setShows] = useState<string>(failed[0] ?? '')
  const [unread, setUnread] = useState(false)
  const take = async (file: File | undefined) => {
    if (!file) return
    const parts = await shrinkPhoto(file)
    setUnread(parts === null)
    if (parts === null) return
    const point = LOOK_POINTS.find((known) => known === shows) ?? null
    const takenAt = new Date().toISOString()
    const kept = await send<LotPhotoView>({ method: 'POST', path: `/lots/${lotId}/photos`, body: { parts, shows: point, takenAt } })
    if (kept) onAdded(kept)
  }
  const wrong = unread ? t('receiving.photoUnread') : errorAt('parts')
  return (
    <div className="k-stack">
      <SelectField
        label={t('receiving.photoShows')}
        value={shows}
        choices={[
          { value: 'lot', label: t('receiving.photoWhole') },
          ...LOOK_POINTS.map((value) => ({ value, label: t(`receiving.short.${value}`) })),
        ]}
        onChange={setShows}
      />
      <label className="k-button k-photo-take" htmlFor={input} aria-busy={busy || undefined}>
        {t('receiving.addPhoto')}
        <input
          id={input}
          type="file"
          accept="image/*"
          capture="environment"
          disabled={busy}
          aria-describedby={wrong ? `${input}-error` : undefined}
          onChange={(event) => {
            const { target } = event
            void take(target.files?.[0]).then(() => {
              target.value = ''
            })
          }}
        />
      </label>
      {busy && <p role="status">{t('receiving.photoWait')}</p>}
      {wrong && <FieldError id={`${input}-error`}>{wrong}</FieldError>}
      {problem && problem.fields.length === 0 && <FailureBar problem={problem} />}
    </div>
  )
}

/** What the lot looked like, for those who did not stand at the gate. */
export const LotPhotos = ({ lotId, number, photos, failed, onAdded }: PhotosProps) => {
  const { t } = useStaffWords()
  const may = useMay()
  const points = failed.map((point) => t(`receiving.short.${point}`)).join(', ')
  return (
    <Card title={t('receiving.photos')}>
      {photos.length === 0 && <p>{failed.length > 0 ? t('receiving.photoFor', { points }) : t('receiving.noPhotos')}</p>}
      {photos.length > 0 && (
        <ul className="k-photos">
          {photos.map((photo) => (
            <Photo key={photo.id} photo={photo} number={number} />
          ))}
        </ul>
      )}
      {may('photograph', 'lots') &&
        (photos.length < MOST_PHOTOS ? <AddPhoto lotId={lotId} failed={failed} onAdded={onAdded} /> : <p>{t('receiving.photoFull')}</p>)}
    </Card>
  )
}
