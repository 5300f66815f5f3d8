/** Entries that wait on the phone until the mill has them. */
export const outbox = {
  outbox: {
    title: 'Entries on this phone',
    intro: 'What waits is sent by itself, in this order. Do not enter it again. Nothing counts as stock or as an order until it is sent.',
    empty: 'No entry waits. What you enter without a network stands here until the mill has it.',
    entered: 'Entered %{date}, %{time}',
    what: {
      receive: 'Receive: %{kg} of %{name} from %{supplier}',
      results: 'Results of lot %{number}, %{name}',
      samples: 'Results of %{smart_count} sample |||| Results of %{smart_count} samples',
      'hand-over': 'Hand over: order %{number}, %{kg}, to %{member}',
      order: 'Order: %{bags}, %{feed}, for %{flock}',
    },
    made: {
      receive: 'It is lot %{number}.',
      'hand-over': 'Order %{number} is handed over.',
      order: 'It is order %{number}.',
    },
    sendNow: 'Send now',
    sendAgain: 'Send again',
    throwAway: 'Throw away',
    throwWhy: 'Why is it thrown away?',
    throwNote: 'The mill never gets it. It stands here for 30 days with your reason.',
    thrownAway: 'Thrown away %{time}: %{reason}',
    sentLongAgo:
      'It was sent, and no answer came for a day. The mill may have it already. Look there first; send it again only if it is not there.',
    noAnswer: 'No answer so far. It is sent again by itself, and counts once.',
    bar: {
      sending: '%{smart_count} entry is on its way |||| %{smart_count} entries are on their way',
      refused: '%{smart_count} entry was not accepted |||| %{smart_count} entries were not accepted',
      others:
        '%{smart_count} entry of somebody else waits on this phone until they sign in |||| %{smart_count} entries of other people wait on this phone until they sign in',
      nobody:
        '%{smart_count} entry waits on this phone. Sign in to send it |||| %{smart_count} entries wait on this phone. Sign in to send them',
      show: 'Look',
    },
    leave: {
      title: 'Sign out with entries on this phone?',
      note: '%{smart_count} entry has not been sent. It stays on this phone, and is sent when you sign in here again. |||| %{smart_count} entries have not been sent. They stay on this phone, and are sent when you sign in here again.',
      stay: 'Stay signed in',
    },
    signInAgain: 'Your session has ended. Sign in again; your entries stay on this phone.',
  },
} as const
