import { useEffect, useRef } from 'react'
import type { LotView } from '#contract/lots'
import { analysesFor } from '#core/safety/lot-duties'
import { formatTime } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { Readback } from '../../ui/Readback'
import { StateWord } from '../../ui/StateWord'
import { ingredientOf, useIngredientName, WithPicture } from '../ingredients/names'

type ReceivedProps = { readonly lot: LotView; readonly category: string; readonly onAnother: () => void }

/** After receiving: the number to write on the stack, what was recorded, and whose move it is. */
export const Received = ({ lot, category, onAnother }: ReceivedProps) => {
  const { t } = useStaffWords()
  const nameOf = useIngredientName()
  const heading = useRef<HTMLHeadingElement>(null)
  useEffect(() => heading.current?.focus(), [])
  const name = nameOf(ingredientOf(lot))
  return (
    <div className="k-page">
      <h1 tabIndex={-1} ref={heading} className="k-lot-huge">
        {t('receive.doneNumber', { number: lot.number })}
      </h1>
      <WithPicture pictogram={lot.pictogram} size={40}>
        {name}
      </WithPicture>
      <p className="k-strong">{t('receive.write', { number: lot.number })}</p>
      <Readback
        what={t('receive.doneWhat', { kg: formatKg(lot.netKg), name, supplier: lot.supplierName })}
        time={formatTime(lot.enteredAt)}
      />
      <Card title={t('receive.next')} action={<StateWord thing="lot" state={lot.status} />}>
        <p>{t('receive.nextHold')}</p>
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
