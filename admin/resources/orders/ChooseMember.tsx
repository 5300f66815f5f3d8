import { useEffect, useState } from 'react'
import { useGetList } from 'react-admin'
import { formatPhone } from '../../format/phones'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { Row } from '../../ui/Card'
import { Field } from '../../ui/Field'
import { Loading } from '../../ui/Waiting'
import type { Member } from '../members/memberModel'

const SEARCH_AFTER_MS = 300
const SHOWN = 6
const LEAST_LETTERS = 2

/** People search by what they have: a name, a phone number, a village, a number. */
export const ChooseMember = ({ onChoose }: { onChoose: (member: Member) => void }) => {
  const { t } = useStaffWords()
  const [typed, setTyped] = useState('')
  const [asked, setAsked] = useState('')
  useEffect(() => {
    const timer = setTimeout(() => setAsked(typed.trim()), SEARCH_AFTER_MS)
    return () => clearTimeout(timer)
  }, [typed])
  const enough = asked.length >= LEAST_LETTERS || /^\d+$/.test(asked)
  const { data, isFetching } = useGetList<Member>(
    'members',
    { pagination: { page: 1, perPage: SHOWN }, sort: { field: 'name', order: 'ASC' }, filter: { q: asked } },
    { enabled: enough },
  )
  return (
    <div className="k-stack">
      <Field label={t('counter.look')} hint={t('counter.lookHint')} value={typed} onChange={setTyped} type="search" autoComplete="off" />
      {enough && isFetching && !data && <Loading rows={2} />}
      {enough && data?.length === 0 && (
        <p className="k-row">
          {t('counter.nobody')}
          <a className="k-button" href="#/members/create">
            {t('counter.newMember')}
          </a>
        </p>
      )}
      <div>
        {enough &&
          data?.map((member) => (
            <Row key={member.id} action={<Button onPress={() => onChoose(member)}>{t('counter.choose')}</Button>}>
              <span className="k-strong">{member.name}</span>
              <br />
              <span className="k-tabular">
                {member.number}, {formatPhone(member.phone)}
              </span>
              {member.village && `, ${member.village}`}
            </Row>
          ))}
      </div>
    </div>
  )
}
