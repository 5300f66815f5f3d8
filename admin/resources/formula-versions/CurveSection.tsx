import { useState } from 'react'
import type { MixView } from '#contract/formulas'
import type { CurveView } from '#contract/solving'
import { SelectField } from '../../ui/Field'
import { CostCurve } from '../../ui/pictures/CostCurve'
import { AskedAnswer } from './AskedAnswer'
import { curveTold, limitChoices, noCurveTold, priceChoices, type CurveChoice } from './curveQuestion'
import { useTold, type Told } from './useTold'
import { useAsked } from './useAsked'
import type { SolveRequest } from './useSolve'

type DrawnProps = { readonly view: CurveView; readonly choice: CurveChoice; readonly told: Told }

const Drawn = ({ view, choice, told: { words, currency } }: DrawnProps) => {
  const none = noCurveTold(view, words)
  if (none !== null) return <p>{none}</p>
  const { points, nowText, sentence } = curveTold(view, choice, words, currency)
  return (
    <CostCurve
      points={points}
      now={view.now}
      nowText={nowText}
      unit={choice.of.kind === 'price' ? `${currency} ${words.t('explain.perKg')}` : view.unit}
      possibleFrom={view.feasibleFrom}
      possibleTo={view.feasibleTo}
      exact={view.exact}
      sentence={sentence}
      axisText={choice.name}
    />
  )
}

type Answered = { readonly view: CurveView; readonly choice: CurveChoice }
/** The curve comes without its question, so the one it answers is kept beside it. */
const useCurve = (request: SolveRequest | null, choice: CurveChoice | undefined) => {
  const body = request && choice ? { ...request, of: choice.of, from: choice.from, to: choice.to } : null
  const { answer: view, ...state } = useAsked<CurveView>('/solve/curve', body)
  const [shown, setShown] = useState<Answered>()
  if (view && choice && !state.stale && shown?.view !== view) setShown({ view, choice })
  return { shown, state }
}

type CurveSectionProps = {
  readonly request: SolveRequest | null
  /** The mix of the request: its prices, and which limits cost something today. */
  readonly mix: MixView | undefined
}

/** What a tonne costs while one limit or one price moves, all else as it is. */
export const CurveSection = ({ request, mix }: CurveSectionProps) => {
  const told = useTold()
  const { words, currency } = told
  const { t } = words
  const [chosen, setChosen] = useState('')
  const choices = request ? [...limitChoices(request, mix, words), ...priceChoices(mix, words)] : []
  const choice = choices.find(({ value }) => value === chosen)
  const { shown, state } = useCurve(request, choice)
  const spoken = shown ? (noCurveTold(shown.view, words) ?? curveTold(shown.view, shown.choice, words, currency).sentence) : ''
  return (
    <>
      <SelectField label={t('explain.curveOf')} value={chosen} onChange={setChosen} choices={choices} />
      <AskedAnswer state={state} what={t('explain.curveWorking')} told={spoken}>
        {shown && chosen !== '' && <Drawn {...shown} told={told} />}
      </AskedAnswer>
    </>
  )
}
