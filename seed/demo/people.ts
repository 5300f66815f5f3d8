import type { Role } from '#contract/access'

/** Everybody here is invented. Phones are of a shape that no network gives out. */
export const STAFF: readonly { login: string; name: string; role: Role; phone: string; language: 'en' | 'sw' }[] = [
  { login: 'manager', name: 'Achieng Mbugo', role: 'manager', phone: '+254700000001', language: 'en' },
  { login: 'nutritionist', name: 'Tumaini Oloo', role: 'nutritionist', phone: '+254700000002', language: 'en' },
  { login: 'store', name: 'Baraka Kiboro', role: 'store-keeper', phone: '+254700000003', language: 'sw' },
  { login: 'laboratory', name: 'Neema Sagala', role: 'laboratory', phone: '+254700000004', language: 'en' },
  { login: 'mixer', name: 'Juma Wekulo', role: 'mixer-operator', phone: '+254700000005', language: 'sw' },
  { login: 'counter', name: 'Rehema Tito', role: 'counter-clerk', phone: '+254700000006', language: 'sw' },
]

type DemoFlock = { name: string; type: 'layer' | 'broiler' | 'dual-purpose'; ageDays: number; birds: number; laying?: boolean }
type DemoMember = { name: string; village: string; language: 'en' | 'sw'; flocks: readonly DemoFlock[] }

const layers = (name: string, ageDays: number, birds: number): DemoFlock => ({ name, type: 'layer', ageDays, birds, laying: ageDays > 140 })
const broilers = (name: string, ageDays: number, birds: number): DemoFlock => ({ name, type: 'broiler', ageDays, birds })
const kienyeji = (name: string, ageDays: number, birds: number): DemoFlock => ({
  name,
  type: 'dual-purpose',
  ageDays,
  birds,
  laying: ageDays > 150,
})

export const MEMBERS: readonly DemoMember[] = [
  { name: 'Wanja Muriko', village: 'Mtoni Juu', language: 'sw', flocks: [layers('Banda la juu', 252, 200)] },
  { name: 'Otieno Radoli', village: 'Bonde la Mwewe', language: 'en', flocks: [broilers('October birds', 31, 300)] },
  {
    name: 'Mama Zawadi Koli',
    village: 'Mtoni Juu',
    language: 'sw',
    flocks: [kienyeji('Kienyeji wa nyumbani', 200, 60), kienyeji('Vifaranga', 30, 45)],
  },
  { name: 'Kiprono Sugut', village: 'Kilele', language: 'en', flocks: [layers('House 1', 320, 480), layers('House 2', 70, 500)] },
  { name: 'Halima Bwana', village: 'Mwembe Tatu', language: 'sw', flocks: [layers('Kuku wa mayai', 410, 150)] },
  { name: 'Njeri Gachuo', village: 'Kilele', language: 'sw', flocks: [layers('Vifaranga wapya', 24, 250)] },
  { name: 'Peter Lokwang', village: 'Jiwe Refu', language: 'en', flocks: [broilers('Batch A', 12, 400)] },
  { name: 'Fatuma Shee', village: 'Mwembe Tatu', language: 'sw', flocks: [kienyeji('Kuku chotara', 260, 90)] },
  { name: 'Samson Etyang', village: 'Bonde la Mwewe', language: 'en', flocks: [layers('Layers', 190, 320)] },
  { name: 'Rose Atieno Bala', village: 'Ziwani', language: 'sw', flocks: [broilers('Nyama', 38, 150)] },
  { name: 'Kamau Thuku-Mbiti', village: 'Kilele', language: 'en', flocks: [layers('Top house', 300, 600)] },
  { name: 'Amina Jilo', village: 'Mwembe Tatu', language: 'sw', flocks: [layers('Kuku 100', 230, 100)] },
  { name: 'Wekesa Nyongesa-Otu', village: 'Ziwani', language: 'sw', flocks: [kienyeji('Kienyeji', 120, 80)] },
  { name: 'Grace Mumbi Ndolo', village: 'Jiwe Refu', language: 'en', flocks: [layers('Pullets', 100, 350)] },
  { name: 'Hassan Dubow', village: 'Jiwe Refu', language: 'sw', flocks: [broilers('Broiler 2', 22, 200)] },
  { name: 'Chebet Kolum', village: 'Kilele', language: 'en', flocks: [layers('Old hens', 500, 180)] },
  { name: 'Mwende Kyalo-Ita', village: 'Bonde la Mwewe', language: 'sw', flocks: [kienyeji('Kuku wa shamba', 300, 40)] },
  { name: 'Ouma Dibo', village: 'Ziwani', language: 'en', flocks: [layers('Lake house', 275, 260)] },
]
