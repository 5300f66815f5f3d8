import { useEffect, useRef, useState } from 'react'
import type { LotPhotoView, LotView } from '#contract/lots'
import { readKg, type Grams } from '#core/quantity/mass'
import { samplePlan } from '#core/receiving/sampling'
import { noteDifference } from '#core/receiving/weights'
import { analysesFor } from '#core/safety/lot-duties'
import { formatTime } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { Readback } from '../../ui/Readback'
import { StateWord } from '../../ui/StateWord'
import { ingredientOf, useIngredientName, WithPicture } from '../ingredients/names'
import { LotPhotos } from './LotPhotos'
import { useNoteWords } from './noteWords'
import { PaymentWords } from './PaymentWords'
import { SampleToTake } from './SampleToTake'
import { Warning } from './WeightFields'

type ReceivedProps = { readonly lot: LotView; readonly category: string; readonly onAnother: () => void }

const gramsOf = (kg: string): Grams => readKg(kg) ?? (0 as Grams)

/** What the scale said against the note, and what is owed: the two figures the driver waits for. */
const Reckoning = ({ lot }: { lot: LotView }) => {
  const { t } = useStaffWords()
  const noteWords = useNoteWords()
  const difference = lot.noteKg === null ? null : noteDifference(gramsOf(lot.netKg), gramsOf(lot.noteKg))
  return (
    <Card title={t('receiving.paid')}>
      {difference && (difference.difference < 0 ? <Warning>{noteWords(difference)}</Warning> : <p>{noteWords(difference)}</p>)}
      <p>
        <PaymentWords lot={lot} />
      </p>
    </Card>
  )
}

const Papers = ({ lot }: { lot: LotView }) => {
  const { t } = useStaffWords()
  return (
    <div className="k-actions">
      <a className="k-button" data-kind="main" href={`#/lots/${lot.id}/papers/card`}>
        {t('receiving.printCard')}
      </a>
      <a className="k-button" href={`#/lots/${lot.id}/papers/label`}>
        {t('receiving.printLabel')}
      </a>
    </div>
  )
}

/** After receiving: the number to write on the stack, what was recorded, the sample to take, and whose move it is. */
export const Received = ({ lot, category, onAnother }: ReceivedProps) => {
  const { t } = useStaffWords()
  const nameOf = useIngredientName()
  const heading = useRef<HTMLHeadingElement>(null)
  const [photos, setPhotos] = useState<readonly LotPhotoView[]>([])
  useEffect(() => heading.current?.focus(), [])
  const name = nameOf(ingredientOf(lot))
  const failed = lot.looks.flatMap(({ point, good }) => (good ? [] : [point]))
  return (
    <div className="k-page">
      <h1 tabIndex={-1} ref={heading} className="k-lot-huge">
        {t('receive.doneNumber', { number: lot.number })}
      </h1>
      <WithPicture pictogram={lot.pictogram} size={40}>
        {name}
      </WithPicture>
      <Readback
        what={t('receive.doneWhat', { kg: formatKg(lot.netKg), name, supplier: lot.supplierName })}
        time={formatTime(lot.enteredAt)}
        onCorrect={() => location.assign(`#/lots/${lot.id}/correct`)}
      />
      <Papers lot={lot} />
      <Reckoning lot={lot} />
      <SampleToTake plan={samplePlan({ net: gramsOf(lot.netKg), bags: lot.bags, category })} heading />
      <LotPhotos lotId={lot.id} number={lot.number} photos={photos} failed={failed} onAdded={(photo) => setPhotos([...photos, photo])} />
      <Card title={t('receive.next')} action={<StateWord thing="lot" state={lot.status} />}>
        <p className="k-strong">{t('receive.write', { number: lot.number })}</p>
        <p>{t('receive.nextHold')}</p>
        {failed.length > 0 && <p>{t('receiving.lookFailed')}</p>}
        <p>{t(analysesFor(category).length > 0 ? 'receive.nextTests' : 'receive.nextNoTests')}</p>
        {analysesFor(category).length > 0 && <p>{t('receive.nextRelease')}</p>}
      </Card>
      <div className="k-actions">
        <Button kind="main" wide onPress={onAnother}>
          {t('receive.another')}
        </Button>
        <a className="k-button" href={`#/lots/${lot.id}/show`}>
          {t('receive.openLot', { number: lot.number })}
        </a>
      </div>
    </div>
  )
}
