import { LotChange } from './lot-change'

const CountLot = () => <LotChange kind="count" />

export default CountLot
