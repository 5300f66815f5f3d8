/** Orders of the past weeks, by member (index in MEMBERS) and flock; `until` says how far each has come. */
export type DemoOrder = {
  daysAgo: number
  member: number
  flock: number
  feed: string
  kg: number
  dueInDays: number
  until: 'ordered' | 'planned' | 'being-mixed' | 'ready' | 'collected' | 'cancelled'
}

const order = (
  daysAgo: number,
  member: number,
  feed: string,
  kg: number,
  until: DemoOrder['until'] = 'collected',
  flock = 0,
): DemoOrder => ({
  daysAgo,
  member,
  flock,
  feed,
  kg,
  dueInDays: 3,
  until,
})

export const ORDERS: readonly DemoOrder[] = [
  order(44, 3, 'Layer mash', 700),
  order(43, 10, 'Layer mash', 1000),
  order(41, 4, 'Layer mash, late lay', 200),
  order(37, 0, 'Layer mash', 200),
  order(36, 8, 'Layer mash', 350),
  order(34, 15, 'Layer mash, late lay', 250),
  order(30, 11, 'Layer mash', 100),
  order(29, 10, 'Layer mash', 800),
  order(27, 13, 'Developer mash', 450),
  order(24, 3, 'Grower mash', 400, 'collected', 1),
  order(23, 17, 'Layer mash', 300),
  order(20, 5, 'Layer chick mash', 100),
  order(19, 12, 'Kienyeji grower mash', 100),
  order(17, 1, 'Broiler starter', 250),
  order(16, 10, 'Layer mash', 1000),
  order(13, 0, 'Layer mash', 200),
  order(12, 9, 'Broiler grower', 150, 'cancelled'),
  order(10, 4, 'Layer mash, late lay', 150),
  order(9, 1, 'Broiler grower', 300),
  order(8, 2, 'Kienyeji chick mash', 50, 'collected', 1),
  order(6, 3, 'Layer mash', 500),
  order(5, 13, 'Developer mash', 300, 'ready'),
  order(4, 17, 'Layer mash', 250, 'ready'),
  order(3, 0, 'Layer mash', 200, 'ready'),
  order(2, 10, 'Layer mash', 600, 'being-mixed'),
  order(2, 14, 'Broiler starter', 150, 'planned'),
  order(1, 6, 'Broiler starter with coccidiostat', 300, 'planned'),
  order(1, 11, 'Layer mash', 100, 'ordered'),
  order(1, 5, 'Layer chick mash', 150, 'ordered'),
  order(0, 8, 'Layer mash', 300, 'ordered'),
]
