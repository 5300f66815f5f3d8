import { useQuery } from '@tanstack/react-query'
import { lazy, Suspense } from 'react'
import { useDataProvider } from 'react-admin'
import { useParams } from 'react-router-dom'
import type { LotPapersView } from '#contract/lots'
import { useStaffWords } from '../i18n/words'
import type { MillDataProvider } from '../providers/dataProvider'
import { Picture } from '../resources/batches/batchParts'
import { asProblem } from '../shell/useAct'
import { CheckShape } from '../ui/CheckShape'
import { FailureBar } from '../ui/Failure'
import { WovenStrip } from '../ui/Mark'
import { Pictogram } from '../ui/Shape'
import { Loading } from '../ui/Waiting'
import { PaperPage, usePaperLanguage } from './paper-page'
import './sheet-paper.css'
import './lot-papers.css'

const QrCode = lazy(() => import('../ui/QrCode'))
type Kind = 'card' | 'label'
const FILES = { card: 'stack-card.pdf', label: 'sample-label.pdf' } as const

const Qr = ({ papers: { qr } }: { papers: LotPapersView }) => (
  <Suspense fallback={<p className="k-strong">{qr}</p>}>
    <QrCode text={qr} label={qr} />
  </Suspense>
)

const Rows = ({ rows }: { rows: LotPapersView['card']['rows'] }) => (
  <dl className="k-paper-rows">
    {rows.map(({ name, value }) => (
      <div key={name}>
        <dt>{name}</dt>
        <dd>{value}</dd>
      </div>
    ))}
  </dl>
)

const Card = ({ papers }: { papers: LotPapersView }) => {
  const { card } = papers
  return (
    <article className="k-sheet k-paper-card">
      <WovenStrip />
      <div className="k-sheet-top">
        <div>
          <p className="k-sheet-title">{card.title}</p>
          <p>{papers.mill}</p>
          <p>{papers.printed}</p>
        </div>
        <Qr papers={papers} />
      </div>
      <p className="k-paper-state">
        {card.stateShape === 'hold' ? <Pictogram name="hand-stop" size={40} /> : <CheckShape verdict={card.stateShape} size={36} />}{' '}
        {card.state}
      </p>
      <p className="k-paper-number" data-digits={String(papers.lotNumber).length}>
        {papers.lotNumber}
      </p>
      <p className="k-paper-name">
        <Picture name={papers.pictogram} size={56} /> {papers.ingredient}
      </p>
      {card.bar !== '' && (
        <p className="k-sheet-medicine k-paper-bar">
          <Pictogram name="hand-stop" size={40} /> {card.bar}
        </p>
      )}
      <Rows rows={card.rows} />
      {card.warnings.length > 0 && (
        <ul className="k-paper-warnings">
          {card.warnings.map((warning) => (
            <li key={warning}>{warning}</li>
          ))}
        </ul>
      )}
      <p className="k-sheet-line">
        <Pictogram name="dry-store" size={28} /> {card.keep}
      </p>
    </article>
  )
}

const Labels = ({ papers }: { papers: LotPapersView }) => (
  <div className="k-sheet k-paper-labels">
    {papers.label.kinds.map((kind) => (
      <article key={kind} className="k-paper-label">
        <div className="k-sheet-top">
          <div>
            <p className="k-sheet-name">{papers.label.title}</p>
            <p>{kind}</p>
            <p className="k-paper-label-number">
              {papers.lotWord} <b>{papers.lotNumber}</b>
            </p>
          </div>
          <Qr papers={papers} />
        </div>
        <p className="k-sheet-name">{papers.ingredient}</p>
        <Rows rows={papers.label.rows} />
        <p>{papers.label.how}</p>
        {papers.label.blanks.map((blank) => (
          <p key={blank} className="k-paper-blank">
            {blank}
          </p>
        ))}
      </article>
    ))}
  </div>
)

/** Stack card and sample labels as paper on the screen: the same model that the PDF prints, in the mill's language or another. */
const LotPapers = () => {
  const { t } = useStaffWords()
  const { id = '', kind: asked } = useParams()
  const kind: Kind = asked === 'label' ? 'label' : 'card'
  const mill = useDataProvider<MillDataProvider>()
  const { chosen, choose, query } = usePaperLanguage()
  const { data, error, refetch } = useQuery({
    queryKey: ['lot-papers', id, chosen ?? 'mill'],
    queryFn: () => mill.act<LotPapersView>('GET', `/lots/${id}/papers${query}`),
  })
  return (
    <PaperPage
      title={data ? t('receiving.papersTitle', { number: data.lotNumber }) : t('receiving.papers')}
      language={data?.language}
      onLanguage={choose}
      pdf={`/lots/${id}/${FILES[kind]}${query}`}
      back={{ href: `#/lots/${id}/show`, label: t('receiving.toLot', { number: data?.lotNumber ?? '' }) }}
      among={
        <div className="k-row" role="group" aria-label={t('receiving.papers')}>
          {(['card', 'label'] as const).map((name) => (
            <a
              key={name}
              className="k-button"
              data-kind={name === kind ? 'main' : 'plain'}
              aria-current={name === kind ? 'page' : undefined}
              href={`#/lots/${id}/papers/${name}`}
            >
              {t(`receiving.${name}`)}
            </a>
          ))}
        </div>
      }
    >
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!data && !error && <Loading rows={6} />}
      {data && (
        <div className="k-sheet-scroll" tabIndex={0} role="region" aria-label={t(`receiving.${kind}`)}>
          {kind === 'card' ? <Card papers={data} /> : <Labels papers={data} />}
        </div>
      )}
    </PaperPage>
  )
}

export default LotPapers
