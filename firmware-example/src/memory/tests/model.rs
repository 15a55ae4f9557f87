//! What a memory may hold after cuts: everything that was saved, nothing that was not attempted.

use super::*;
use std::collections::BTreeMap;

/// A job's card: its revision and content, or none.
type Card = Option<(u32, Vec<u8>)>;

#[derive(Clone)]
pub(super) struct Model {
    /// Contents given to appends so far.
    appends: u32,
    /// What was saved: it must stay.
    saved: BTreeMap<u32, Vec<u8>>,
    /// What was cut, and shown after a start all the same.
    shown: BTreeMap<u32, Vec<u8>>,
    /// The append that was under way: its number and content, and what its page held.
    pending: Option<(u32, Vec<u8>, Page)>,
    /// What was attempted under each number.
    attempted: BTreeMap<u32, Vec<Vec<u8>>>,
    /// The greatest number that a page holds a trace of.
    trace: u32,
    /// Acknowledged for sure, and at most.
    acknowledged: (u32, u32),
    boot: u16,
    /// The next number at the last start.
    next: u32,
    /// Records never saved that were there at one start and not at another: half-written bits that agreed many
    /// times by luck.
    pub(super) luck: u32,
    /// What each job's card may be.
    cards: BTreeMap<u64, Vec<Card>>,
}

/// The power went off.
pub(super) struct PowerOff;

impl Model {
    pub(super) fn new() -> Self {
        Self {
            appends: 0,
            saved: BTreeMap::new(),
            shown: BTreeMap::new(),
            pending: None,
            attempted: BTreeMap::new(),
            trace: 0,
            acknowledged: (0, 0),
            boot: 0,
            next: 1,
            luck: 0,
            cards: [(1, std::vec![None]), (2, std::vec![None])].into(),
        }
    }

    /// Opens and compares.
    pub(super) fn open<'s>(&mut self, store: &'s mut Store) -> Result<Memory<&'s mut Store>, PowerOff> {
        let mut memory = match Memory::open(&mut *store, layout()) {
            Ok((memory, _)) => memory,
            Err(OpenError::Storage(_)) => return Err(PowerOff),
            Err(error) => panic!("{error:?}"),
        };
        self.compare(&mut memory);
        Ok(memory)
    }

    fn compare(&mut self, memory: &mut Memory<&mut Store>) {
        if let Some((seq, content, before)) = self.pending.take() {
            let now = memory.pages.content()[usize::from(layout().record_page(seq))];
            self.trace = if now == before { self.trace } else { self.trace.max(seq) };
            self.attempted.entry(seq).or_default().push(content);
        }
        let (least, most) = self.acknowledged;
        assert!((least..=most).contains(&memory.acknowledged()), "acknowledged {least}..={most}");
        assert!(memory.boot() > self.boot, "a boot number twice");
        self.boot = memory.boot();
        self.acknowledged.0 = memory.acknowledged();
        let found: BTreeMap<u32, Vec<u8>> =
            records_after(memory, 0).into_iter().map(|record| (record.seq, record.data.to_vec())).collect();
        for (seq, data) in self.saved.range(most + 1..) {
            assert_eq!(found.get(seq), Some(data), "record {seq} was saved");
        }
        for (seq, data) in &found {
            assert!(self.attempted[seq].contains(data), "record {seq} was never attempted");
            let known = self.saved.get(seq).or(self.shown.get(seq));
            assert!(known.is_none_or(|known| known == data), "record {seq} changed");
        }
        let before = self.shown.len();
        self.shown.retain(|seq, _| found.contains_key(seq) || *seq <= most);
        self.luck += (before - self.shown.len()) as u32;
        for (seq, data) in found {
            if !self.saved.contains_key(&seq) && self.shown.insert(seq, data).is_none() {
                self.luck += u32::from(seq < self.next);
            }
        }
        self.next = memory.next();
        assert!(
            memory.next() > self.trace.max(most.min(memory.acknowledged())),
            "a number would be given twice"
        );
        let mut known = self.saved.keys().chain(self.shown.keys());
        assert!(known.all(|seq| *seq < memory.next()));
        for (job, allowed) in &mut self.cards {
            let info = memory.find_card(JobId(*job));
            let content = memory.read_card(JobId(*job), &mut [0; 128]).unwrap().map(<[u8]>::to_vec);
            let now = info.map(|info| (info.revision, content.unwrap()));
            assert!(allowed.contains(&now), "card of {job}: {now:?}");
            // A first card that was cut and then shown may yet go: half-written bits that agreed by luck.
            let unsure = allowed.len() > 1 && allowed.contains(&None) && now.is_some();
            *allowed = if unsure { std::vec![now, None] } else { std::vec![now] };
        }
    }

    pub(super) fn append(
        &mut self,
        memory: &mut Memory<&mut Store>,
        urgency: Urgency,
    ) -> Result<(), PowerOff> {
        let data = content(self.appends);
        self.appends += 1;
        let due = memory.next();
        let before = memory.pages.content()[usize::from(layout().record_page(due))];
        self.pending = Some((due, data.clone(), before));
        match memory.append(2, &data, self.appends, urgency) {
            Ok(seq) => {
                assert!(
                    seq == due
                        && seq > self.trace
                        && !self.saved.contains_key(&seq)
                        && !self.shown.contains_key(&seq),
                    "number {seq} twice"
                );
                self.pending = None;
                self.trace = seq;
                self.attempted.entry(seq).or_default().push(data.clone());
                self.saved.insert(seq, data);
                Ok(())
            }
            Err(AppendError::Storage(_)) => Err(PowerOff),
            Err(AppendError::Full { .. }) => {
                assert!(due - memory.acknowledged() > LAP - u32::from(RESERVE), "there is room");
                self.pending = None;
                Ok(())
            }
            Err(error) => panic!("{error:?}"),
        }
    }

    /// Acknowledges all but the last `kept` numbers as a console does: for sure are those but the last few.
    pub(super) fn acknowledge_lightly(
        &mut self,
        memory: &mut Memory<&mut Store>,
        kept: u32,
    ) -> Result<(), PowerOff> {
        let upto = (memory.next() - 1).saturating_sub(kept).max(memory.acknowledged());
        self.acknowledged.1 = self.acknowledged.1.max(upto);
        match memory.acknowledge_lightly(upto) {
            Ok(()) => self.acknowledged.0 = self.acknowledged.0.max((upto + 1).saturating_sub(MARK_EVERY)),
            Err(AcknowledgeError::Storage(_)) => return Err(PowerOff),
            Err(error) => panic!("{error:?}"),
        }
        Ok(())
    }

    /// Acknowledges all but the last `kept` numbers.
    pub(super) fn acknowledge(&mut self, memory: &mut Memory<&mut Store>, kept: u32) -> Result<(), PowerOff> {
        let upto = (memory.next() - 1).saturating_sub(kept).max(memory.acknowledged());
        self.acknowledged.1 = self.acknowledged.1.max(upto);
        match memory.acknowledge(upto) {
            Ok(()) => self.acknowledged.0 = upto,
            Err(AcknowledgeError::Storage(_)) => return Err(PowerOff),
            Err(error) => panic!("{error:?}"),
        }
        Ok(())
    }

    /// Stores the next revision of a card.
    pub(super) fn store(&mut self, memory: &mut Memory<&mut Store>, job: u64) -> Result<(), PowerOff> {
        let revision = memory.find_card(JobId(job)).map_or(1, |info| info.revision + 1);
        self.appends += 1;
        let data = content(self.appends).repeat(2 + self.appends as usize % 2);
        let data = data[..data.len().min(128)].to_vec();
        self.card(
            job,
            Some((revision, data.clone())),
            memory.store_card(JobId(job), revision, 0, &data).map(drop),
        )
    }

    pub(super) fn drop(&mut self, memory: &mut Memory<&mut Store>, job: u64) -> Result<(), PowerOff> {
        self.card(job, None, memory.drop_card(JobId(job)).map(drop))
    }

    fn card<E: core::fmt::Debug>(
        &mut self,
        job: u64,
        new: Card,
        result: Result<(), CardError<E>>,
    ) -> Result<(), PowerOff> {
        match result {
            Ok(()) => self.cards.insert(job, std::vec![new]),
            Err(CardError::Storage(_)) => {
                self.cards.entry(job).or_default().push(new);
                return Err(PowerOff);
            }
            Err(error) => panic!("{error:?}"),
        };
        Ok(())
    }
}
