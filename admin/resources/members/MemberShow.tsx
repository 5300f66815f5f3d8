import { useGetList, usePermissions } from 'react-admin'
import { useParams } from 'react-router-dom'
import type { Role } from '#contract/access'
import { formatDate } from '../../format/dates'
import { formatKg, formatNumber } from '../../format/numbers'
import { formatPhone } from '../../format/phones'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { canAccess } from '../../providers/canAccess'
import { useWhole } from '../../providers/useWhole'
import { asProblem } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Card, Row } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { StateWord } from '../../ui/StateWord'
import { Empty, Loading } from '../../ui/Waiting'
import { useFlockWords } from '../flocks/flockWords'
import { feedName, type Order } from '../orders/orderModel'
import type { Flock, Member } from './memberModel'

const MOST_FLOCKS = 50
const LAST_ORDERS = 10

const Flocks = ({ member, role }: { member: Member; role: Role }) => {
  const { t } = useStaffWords()
  const { ageOf } = useFlockWords()
  const { data, error } = useGetList<Flock>('flocks', {
    pagination: { page: 1, perPage: MOST_FLOCKS },
    sort: { field: 'name', order: 'ASC' },
    filter: { memberId: member.id },
  })
  const add = canAccess(role, 'create', 'flocks') && (
    <a className="k-button" href={`#/flocks/create?memberId=${member.id}`}>
      {t('counter.newFlock')}
    </a>
  )
  return (
    <Card title={t('people.flocks')} action={data && data.length > 0 ? add : undefined}>
      {error && <FailureBar problem={asProblem(error)} doing="load" />}
      {!data && !error && <Loading rows={2} />}
      {data?.length === 0 && <Empty action={add}>{t('people.noFlocks')}</Empty>}
      {data?.map((flock) => (
        <Row
          key={flock.id}
          action={
            <span className="k-row">
              {canAccess(role, 'edit', 'flocks') && (
                <a className="k-button" href={`#/flocks/${flock.id}`}>
                  {t('action.change')}
                </a>
              )}
            </span>
          }
        >
          <span className="k-strong">{flock.name}</span>, {t(`flocks.types.${flock.flockType}`)}
          <br />
          {t('counter.age', { birds: t('unit.birds', { smart_count: formatNumber(flock.birds, 0) }), age: ageOf(flock) })}
          {flock.laying && `, ${t('counter.laying')}`}
          <br />
          <span className="k-caption">
            {flock.stage ? t('flocks.stage', { stage: t(`stage.${flock.stage}` as StaffKey) }) : t('flocks.noStage')}
          </span>
        </Row>
      ))}
    </Card>
  )
}

const Orders = ({ member }: { member: Member }) => {
  const { t, language } = useStaffWords()
  const { data, error } = useGetList<Order>('orders', {
    pagination: { page: 1, perPage: LAST_ORDERS },
    sort: { field: 'number', order: 'DESC' },
    filter: { memberId: member.id },
  })
  return (
    <Card title={t('people.orders')}>
      {error && <FailureBar problem={asProblem(error)} doing="load" />}
      {!data && !error && <Loading rows={2} />}
      {data?.length === 0 && <p>{t('people.noOrders')}</p>}
      {data?.map((order) => (
        <Row
          key={order.id}
          action={
            <a className="k-button" href={`#/orders/${order.id}/show`}>
              {t('action.open')}
            </a>
          }
        >
          <span className="k-row">
            <span className="k-strong">{t('order.named', { number: order.number })}</span>
            <StateWord thing="order" state={order.status} />
          </span>
          {feedName(order, language)}, <b className="k-tabular">{formatKg(order.kg, 0)}</b>,{' '}
          {t('order.due', { date: formatDate(order.dueOn, language) })}
        </Row>
      ))}
    </Card>
  )
}

const MemberShow = () => {
  const { t, language } = useStaffWords()
  const { id = '' } = useParams()
  const { permissions: role } = usePermissions<Role | null>()
  const { data: member, error, refetch } = useWhole<Member>('members', id)
  usePageTitle(member ? t('people.named', { number: member.number, name: member.name }) : t('nav.members'))
  return (
    <div className="k-page">
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!member && !error && <Loading rows={4} />}
      {member && role && (
        <>
          <h1>{t('people.named', { number: member.number, name: member.name })}</h1>
          <p>
            <a className="k-tabular" href={`tel:${member.phone}`}>
              {formatPhone(member.phone)}
            </a>
            {member.village && `, ${member.village}`}, {t(`language.${member.language}`)}
          </p>
          <p className="k-caption">{t('people.joined', { date: formatDate(member.joinedAt, language) })}</p>
          {canAccess(role, 'create', 'orders') && (
            <div className="k-actions">
              <a className="k-button" data-kind="main" href={`#/orders/create?memberId=${member.id}`}>
                {t('people.order')}
              </a>
            </div>
          )}
          <div className="k-columns">
            <Flocks member={member} role={role} />
            <Orders member={member} />
          </div>
        </>
      )}
    </div>
  )
}

export default MemberShow
