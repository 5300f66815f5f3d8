import { useParams } from 'react-router-dom'
import type { z } from 'zod'
import type { IngredientDetailView } from '#contract/ingredients'
import { LOT_STATUSES } from '#contract/lots'
import { formatDate } from '../../format/dates'
import { formatAccount } from '../../format/money'
import { formatKg, formatPercent } from '../../format/numbers'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'
import { useWhole } from '../../providers/useWhole'
import { asProblem } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Card, Row } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { KnownMark } from '../../ui/KnownBy'
import { StateWord } from '../../ui/StateWord'
import { Loading } from '../../ui/Waiting'
import { BookValues } from './BookValues'
import { LotsAndBook } from './LotsAndBook'
import { useIngredientName, WithPicture } from './names'
import { PaidPrices } from './PaidPrices'
import { StandingOffers } from './StandingOffers'
import '../lots/lots.css'

type Ingredient = z.output<typeof IngredientDetailView>

const Facts = ({ ingredient }: { ingredient: Ingredient }) => {
  const { t, language } = useStaffWords()
  const currency = useCurrency()
  const { replacementPricePerKg: price, replacementPriceOn: on, cover } = ingredient
  return (
    <Card title={t('ingredients.facts')}>
      <dl className="k-facts">
        <dt>{t('ingredients.otherName')}</dt>
        <dd>{language === 'en' ? ingredient.nameSw : ingredient.nameEn}</dd>
        <dt>{t('ingredients.kind')}</dt>
        <dd>{t(`ingredients.category.${ingredient.category}` as StaffKey)}</dd>
        <dt>{t('ingredients.onHand')}</dt>
        <dd>{formatKg(ingredient.onHandKg)}</dd>
        <dt>{t('ingredients.free')}</dt>
        <dd>{formatKg(ingredient.freeKg)}</dd>
        <dt>{t('ingredients.cover')}</dt>
        <dd>
          {cover.days === null || cover.until === null
            ? t('ingredients.coverUnknown', { days: cover.windowDays })
            : t('ingredients.coverTold', {
                lasts: t('unit.days', { smart_count: cover.days }),
                until: formatDate(cover.until, language),
                kg: formatKg(cover.perDayKg),
                days: cover.windowDays,
              })}
        </dd>
        <dt>{t('ingredients.replacement')}</dt>
        <dd>
          {price === null ? t('ingredients.noPrice') : t('ingredients.perKg', { price: formatAccount(price, currency) })}
          {on !== null && `, ${t('ingredients.pricedOn', { day: formatDate(on, language) })}`}
        </dd>
        <dt>{t('ingredients.keeps')}</dt>
        <dd>
          {ingredient.shelfLifeDays === null ? t('ingredients.keepsUnknown') : t('unit.days', { smart_count: ingredient.shelfLifeDays })}
        </dd>
        <dt>{t('ingredients.risk')}</dt>
        <dd lang="en">{ingredient.qualityRisk || t('ingredients.none')}</dd>
      </dl>
    </Card>
  )
}

const Guides = ({ ingredient }: { ingredient: Ingredient }) => {
  const { t } = useStaffWords()
  return (
    <Card title={t('ingredients.guides')}>
      {ingredient.inclusionGuides.length === 0 && <p>{t('ingredients.guidesNone')}</p>}
      {ingredient.inclusionGuides.map(({ birdClass, maxPct, knownBy, source }) => (
        <Row key={birdClass}>
          <KnownMark knownBy={knownBy} />{' '}
          {t('ingredients.guide', { birds: t(`ingredients.birds.${birdClass}` as StaffKey), pct: formatPercent(maxPct, 0) })}{' '}
          <span className="k-caption">
            {t(knownBy === 'book' ? 'shelf.read' : 'shelf.memory')}, <span lang="en">{source}</span>
          </span>
        </Row>
      ))}
      {ingredient.inclusionGuides[0]?.reason && (
        <p className="k-caption" lang="en">
          {ingredient.inclusionGuides[0].reason}
        </p>
      )}
    </Card>
  )
}

const Lots = ({ ingredient }: { ingredient: Ingredient }) => {
  const { t } = useStaffWords()
  const currency = useCurrency()
  const all = encodeURIComponent(JSON.stringify({ ingredientId: ingredient.id }))
  return (
    <Card title={t('ingredients.lots')} action={<a href={`#/lots?filter=${all}`}>{t('lots.allLots')}</a>}>
      {ingredient.lots.length === 0 && <p>{t('ingredients.lotsNone')}</p>}
      {ingredient.lots.map((lot) => {
        const state = LOT_STATUSES.find((known) => known === lot.status)
        return (
          <Row
            key={lot.id}
            action={
              <a className="k-button" href={`#/lots/${lot.id}/show`}>
                {t('action.open')}
              </a>
            }
          >
            <span className="k-lot-number">
              {t('lots.lot')} {lot.number}
            </span>{' '}
            {state && <StateWord thing="lot" state={state} />}
            <div className="k-tabular">
              {formatKg(lot.onHandKg)}, {t('lots.perKg', { price: formatAccount(lot.pricePerKg, currency) })}
            </div>
          </Row>
        )
      })}
    </Card>
  )
}

const IngredientShow = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const nameOf = useIngredientName()
  const { data: ingredient, error, refetch } = useWhole<Ingredient>('ingredients', decodeURIComponent(id))
  const name = ingredient ? nameOf(ingredient) : t('ingredients.title')
  usePageTitle(name)
  return (
    <div className="k-page">
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!ingredient && !error && <Loading rows={5} />}
      {ingredient && (
        <>
          <h1>
            <WithPicture pictogram={ingredient.pictogram} size={32}>
              {name}
            </WithPicture>
          </h1>
          <div className="k-columns">
            <div className="k-stack">
              <Facts ingredient={ingredient} />
              <PaidPrices ingredient={ingredient} name={name} />
              <StandingOffers ingredientId={ingredient.id} />
            </div>
            <div className="k-stack">
              <Lots ingredient={ingredient} />
              <Guides ingredient={ingredient} />
            </div>
          </div>
          <LotsAndBook ingredient={ingredient} name={name} />
          <BookValues values={ingredient.values} />
          <p className="k-caption">
            {t('shelf.asWritten')} <a href="#/sources">{t('shelf.sources')}</a>
          </p>
        </>
      )}
    </div>
  )
}

export default IngredientShow
