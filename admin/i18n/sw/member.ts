import type { SameKeys } from '../translate'
import type { member as english } from '../en/member'

export const member: SameKeys<typeof english> = {
  tab: { home: 'Mwanzo', order: 'Agiza', orders: 'Oda zangu', birds: 'Kuku wangu', account: 'Akaunti' },
  hello: 'Habari, %{name}',
  notFound: 'Ukurasa huu haupo',
}
