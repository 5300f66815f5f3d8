import { useState } from 'react'
import { createRoot } from 'react-dom/client'
import { PICTOGRAM_NAMES } from '#core/pictogram/paths'
import { en } from '../i18n/en'
import { keepLanguage, type Language } from '../i18n/language'
import { sw } from '../i18n/sw'
import { useStaffWords, WordsProvider } from '../i18n/words'
import { Problem } from '../providers/http'
import { navigationFor } from '../shell/navigation'
import { installTheme, showTheme } from '../theme/device'
import '../theme/fonts.css'
import { THEME_NAMES } from '../theme/tokens'
import { Button } from '../ui/Button'
import { Card, Row } from '../ui/Card'
import { CheckWord } from '../ui/CheckShape'
import { EffectPage } from '../ui/EffectPage'
import { ErrorCount, FailureBar } from '../ui/Failure'
import { Field, NumberField, PhoneField, SelectField } from '../ui/Field'
import { Figure } from '../ui/Figure'
import { Frame } from '../ui/Frame'
import { LanguageSwitch, PersonMenu, ThemeSwitch } from '../ui/HeaderTools'
import { ICONS, type IconName } from '../ui/icons'
import { KnownBy } from '../ui/KnownBy'
import { OfflineBar } from '../ui/OfflineBar'
import { DayPicker, Stepper } from '../ui/Pickers'
import { CostCurve } from '../ui/pictures/CostCurve'
import { LimitCosts } from '../ui/pictures/LimitCosts'
import { MixBars } from '../ui/pictures/MixBars'
import { NutrientRails } from '../ui/pictures/NutrientRails'
import { PriceRanges } from '../ui/pictures/PriceRanges'
import { TraceColumns } from '../ui/pictures/TraceColumns'
import { PrintHeader } from '../ui/PrintHeader'
import { Readback } from '../ui/Readback'
import { RefusalList } from '../ui/RefusalCard'
import { Icon, Pictogram } from '../ui/Shape'
import { StateWord } from '../ui/StateWord'
import '../ui/ui.css'
import { Empty, Loading, Working } from '../ui/Waiting'
import { COSTS, CURVE, FINDINGS, KNOWN, MIX, NEAR_CURVE, PRICES, RAILS, TRACE_LINKS, TRACE_NODES } from './samples'

const nothing = () => undefined

const Pictures = () => (
  <>
    <Card>
      <MixBars parts={MIX} totalKg="500" totalCost="KES 24,105" />
    </Card>
    <Card>
      <NutrientRails rails={RAILS} sentence="1 of 5 limits is broken: fibre 7.4 %, at most 7.0 %" />
    </Card>
    <Card>
      <LimitCosts costs={COSTS} sentence="Protein costs most: from 16.5 % to 16.4 % saves KES 64 a tonne" />
    </Card>
    <Card>
      <PriceRanges rows={PRICES} sentence="The mix changes first when dried small fish falls below KES 119.00 a kg" />
    </Card>
    <Card>
      <CostCurve
        points={CURVE}
        now={16.5}
        nowText="16.5 %"
        unit="%"
        possibleTo={18.6}
        exact
        axisText="Protein at least"
        sentence="Each tenth of protein above 16.5 % costs KES 114 a tonne; above 18.6 % no mix is possible"
      />
    </Card>
    <Card>
      <CostCurve
        points={NEAR_CURVE}
        now={7.2}
        nowText="7.2 %"
        unit="%"
        possibleFrom={5}
        exact={false}
        axisText="Fibre at most"
        sentence="A mix costs KES 3,776 a tonne less at 7.2 % fibre than at 5.0 %; below that no mix is possible"
      />
    </Card>
    <Card>
      <TraceColumns
        nodes={TRACE_NODES}
        links={TRACE_LINKS}
        askedId="l44"
        sentence="Lot 44 went into 2 loads and to 11 members; load 201 possibly holds 12.0 kg of it"
      />
    </Card>
  </>
)

const Forms = () => {
  const [bags, setBags] = useState(4)
  const [day, setDay] = useState('2026-08-08')
  const [kg, setKg] = useState('1,5')
  const [phone, setPhone] = useState('0700 000 0')
  return (
    <div className="k-columns">
      <Card title="Form">
        <ErrorCount fieldIds={['kg']} />
        <NumberField
          id="kg"
          label="Net weight"
          unit="kg"
          value={kg}
          onChange={setKg}
          error="Write a figure above 0"
          hint="As the floor scale shows"
        />
        <PhoneField label="Phone" value={phone} onChange={setPhone} />
        <SelectField label="Supplier" value="" onChange={nothing} choices={[{ value: 'a', label: 'Ota Traders' }]} />
        <Field label="Note" value="" onChange={nothing} rows={2} />
        <div className="k-row">
          <Button kind="main">Save</Button>
          <Button>Back</Button>
          <Button kind="danger">Reject lot 44</Button>
          <Button kind="quiet">Exact</Button>
        </div>
      </Card>
      <Card title="Order">
        <Stepper label="Layer mash" bags={bags} bagKg={50} onChange={setBags} />
        <DayPicker label="Collect on" days={['2026-08-07', '2026-08-08', '2026-08-10']} value={day} onChange={setDay} />
        <Button kind="main" wide>
          Order
        </Button>
        <Readback what="82.0 kg of lot 38" time="10:12" onCorrect={nothing} />
        <FailureBar problem={new Problem('stale-revision', 409, 'req-7f3a', [], null)} onTryAgain={nothing} />
      </Card>
    </div>
  )
}

const Parts = () => {
  const { t } = useStaffWords()
  return (
    <div className="k-page">
      <h1>Layer peak v4</h1>
      <div className="k-columns">
        <Card title="Known by">
          {KNOWN.map((value) => (
            <Row key={value.knownBy}>
              <KnownBy value={value} />
            </Row>
          ))}
          <Row>
            <KnownBy value={{ knownBy: 'book', figure: '17', unit: '%' }} audience="member" />
          </Row>
        </Card>
        <Card title="States" action={<a href="#/all">{t('action.showAll')}</a>}>
          <Row action={<Button>{t('action.open')}</Button>}>
            Lot 44, maize <StateWord thing="lot" state="on-hold" />
          </Row>
          <Row>
            <StateWord thing="lot" state="released" /> <StateWord thing="lot" state="rejected" /> <StateWord thing="order" state="ready" />{' '}
            <StateWord thing="order" state="collected" /> <StateWord thing="batch" state="being-weighed" />{' '}
            <StateWord thing="entry" state="sent" time="14:05" />
          </Row>
          <Row>
            <CheckWord verdict="pass" /> <CheckWord verdict="warn" /> <CheckWord verdict="block" />
          </Row>
          <Row>
            <Figure value="1,240" unit="kg" size="figure" /> <Figure value="12,345.6" unit="kg" strong />
          </Row>
          <Empty action={<Button kind="main">{t('action.receive')}</Button>}>No lots on hold. New deliveries start here.</Empty>
          <Loading rows={2} />
          <Working what="Working out the mix." onStop={nothing} />
        </Card>
      </div>
      <RefusalList
        findings={FINDINGS.map((finding) =>
          finding.verdict === 'block'
            ? {
                ...finding,
                next: (
                  <>
                    <Button kind="danger">Reject lot 44</Button>
                    <Button>Test the kept sample</Button>
                    <p>Do not thin it with clean maize.</p>
                  </>
                ),
              }
            : finding,
        )}
      />
      <Forms />
      <Pictures />
      <Card title="Pictograms">
        <div className="k-row">
          {PICTOGRAM_NAMES.map((name) => (
            <span key={name} style={{ display: 'grid', justifyItems: 'center', width: '6.5rem' }}>
              <Pictogram name={name} size={48} />
              <span className="k-caption">{name}</span>
            </span>
          ))}
        </div>
        <div className="k-row">
          {(Object.keys(ICONS) as IconName[]).map((name) => (
            <Icon key={name} name={name} />
          ))}
        </div>
      </Card>
      <Card>
        <EffectPage
          title="Call back lot 44"
          effect="Freezes 3 batches, 31 members, 1,240 kg"
          confirmLabel="Freeze and call back"
          danger
          password
          typeToConfirm="44"
          reasonLabel={t('thing.reason')}
          onConfirm={async () => undefined}
          onCancel={nothing}
        />
      </Card>
      <PrintHeader mill="Mlima Kijani" document="Batch sheet" number="211" when="Tue 4 Aug 2026 07:10" who="Amani" />
    </div>
  )
}

const Gallery = () => {
  const [language, setLanguage] = useState<Language>(new URLSearchParams(location.search).has('sw') ? 'sw' : 'en')
  const { bar, more } = navigationFor('manager', () => true)
  const words = language === 'en' ? en : sw
  return (
    <WordsProvider language={language} messages={words}>
      <OfflineBar offline waiting={2} asOf="06:40" />
      <Nav bar={bar} more={more} onLanguage={(next) => (keepLanguage(next), setLanguage(next))} />
    </WordsProvider>
  )
}

const Nav = ({
  bar,
  more,
  onLanguage,
}: {
  bar: ReturnType<typeof navigationFor>['bar']
  more: ReturnType<typeof navigationFor>['more']
  onLanguage: (language: Language) => void
}) => {
  const { t } = useStaffWords()
  const shown = (entry: (typeof bar)[number]) => ({
    href: `#${entry.path}`,
    label: t(entry.words),
    icon: entry.icon,
    current: entry.path === '/',
  })
  return (
    <Frame
      home="#/"
      bar={bar.map(shown)}
      more={more.map(shown)}
      tools={
        <>
          <LanguageSwitch onChange={onLanguage} />
          <ThemeSwitch />
          <PersonMenu name="Amani Otieno" onSignOut={nothing} />
        </>
      }
    >
      <Parts />
    </Frame>
  )
}

installTheme()
const asked = THEME_NAMES.find((name) => new URLSearchParams(location.search).has(name))
if (asked) showTheme(asked)
const root = document.getElementById('root')
if (root) createRoot(root).render(<Gallery />)
