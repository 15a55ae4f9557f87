//! A buzzer, if one is wired: it plays beside the loop and delays nothing. One that is not there is not missed.

use crate::beside::Beside;
use bevelbook_keypad::device::sound::Sound;
use embassy_rp::Peri;
use embassy_rp::clocks::clk_sys_freq;
use embassy_rp::pwm::{ChannelAPin, Config, Pwm, Slice};
use embassy_sync::blocking_mutex::raw::CriticalSectionRawMutex;
use embassy_sync::signal::Signal;
use embassy_time::Timer;

/// Where small discs are loud, in Hz (common practice, no source: 2 to 4 kHz).
const TONE_HZ: u32 = 2_700;

/// The clock is divided by this, so that a period is less than 65,536 of it.
const DIVIDER: u8 = 100;

static ASKED: Signal<CriticalSectionRawMutex, Sound> = Signal::new();

/// Makes it ready, silent.
pub(crate) fn start<T: Slice>(
    beside: Beside,
    slice: Peri<'static, T>,
    pin: Peri<'static, impl ChannelAPin<T>>,
) {
    let mut config = Config::default();
    config.divider = DIVIDER.into();
    config.top = (clk_sys_freq() / u32::from(DIVIDER) / TONE_HZ) as u16;
    beside.run(play(Pwm::new_output_a(slice, pin, config.clone()), config));
}

/// Plays it; what is still playing is played to its end first, and of what comes meanwhile the last.
pub(crate) fn sound(sound: Sound) {
    ASKED.signal(sound);
}

#[embassy_executor::task]
async fn play(mut pwm: Pwm<'static>, mut config: Config) {
    loop {
        for ms in ASKED.wait().await.rhythm() {
            config.compare_a = if config.compare_a == 0 { config.top / 2 } else { 0 };
            pwm.set_config(&config);
            Timer::after_millis(u64::from(*ms)).await;
        }
        config.compare_a = 0;
        pwm.set_config(&config);
    }
}
