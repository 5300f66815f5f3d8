/** Words that only the member's pages need. */
export const member = {
  tab: { home: 'Home', order: 'Order', orders: 'My orders', birds: 'My birds', account: 'Account' },
  hello: 'Hello, %{name}',
  notFound: 'This page does not exist',
} as const
